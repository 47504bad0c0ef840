import { type Args, type Call, type Options, sub } from '../../src/app/command.ts';
import { noteOption, pitchOption, toldAtOption } from '../../src/app/options.ts';
import { toldTime } from '../../src/app/when.ts';
import { changeTimeButton, undoButton } from '../../src/app/words/post.ts';
import { change } from '../../src/record/change.ts';
import { Refusal } from '../../src/say/refusal.ts';
import type { Line } from '../../src/say/reply.ts';
import { dayClock, duration } from '../../src/time/format.ts';
import type { Draft, Fact } from '../../src/trip/fact.ts';
import { currentPitch, type TripState } from '../../src/trip/state.ts';
import { waitDraft, waitWords } from './wait.ts';

const options = {
  minutes: { type: 'integer', description: 'How long it was', min: 1, max: 720 },
  wait: {
    type: 'string',
    description: 'It goes on: for how long (2h), until when (16:00), open, or over',
    maxLength: 40,
  },
  why: {
    type: 'string',
    description: 'What you wait for',
    choices: [
      { name: 'the weather', value: 'weather' },
      { name: 'something else', value: 'other' },
    ],
  },
  words: noteOption('More of it, in your words'),
  at: { ...toldAtOption, description: 'When it ended, or when the wait began, if not now' },
  number: pitchOption('On which pitch; the one under way when left out'),
  /** They mean well, though a word sounded like trouble. */
  sure: { type: 'boolean', description: 'Asked before', hidden: true },
} as const satisfies Options;

declare module '../../src/say/press.ts' {
  interface Paths {
    'pitch break': typeof options;
  }
}

export type BreakArgs = Args<typeof options>;

/**
 * A pause in the climbing. One that is over has `minutes:`, and is left out of the pace. One that goes
 * on has `wait:`, and the party is then waiting: nobody is late. Both are the same thing to whoever
 * sits there, so a wait is an option of this and not a command of its own. The next post of a pitch
 * ends a wait, and so does `wait:over`.
 */
export const pause = sub({
  description: 'A rest, a lunch, a stuck bag: left out of the pace; or a wait that goes on',
  access: 'post',
  options,
  run: (call, args, app) =>
    change(app, call, {
      decide: ({ state }) => [
        args.wait === undefined ? breakDraft(state, call, args) : waitDraft(state, call, args),
      ],
      answer({ after, events }) {
        const made = events[0];
        if (made === undefined) return { lines: ['Nothing to mark.'] };
        return {
          lines:
            args.wait === undefined
              ? [breakWords(after, made, call.atMs)]
              : waitWords(after, made, call.atMs),
          buttons: [undoButton(made.seq), changeTimeButton(made.seq)],
        };
      },
    }),
});

function breakDraft(state: TripState, call: Call, { minutes, at, number }: BreakArgs): Draft {
  if (minutes === undefined) {
    throw new Refusal('needs-value', [
      'How long was it? Or does it go on?',
      ['Over: ', { code: '/pitch break minutes:40' }],
      ['Going on: ', { code: '/pitch break wait:2h why:weather' }],
    ]);
  }
  const pitch = number ?? currentPitch(state)?.number;
  if (pitch === undefined)
    throw new Refusal('needs-value', 'No pitch is under way; name one: number:5.');
  return { kind: 'pitch.break', data: { pitch, minutes }, ...toldTime(state, call, at) };
}

function breakWords(state: TripState, made: Fact, nowMs: number): Line {
  const { pitch, minutes } = made.data as { pitch: number; minutes: number };
  const until = dayClock(state.zone, made.atMs, nowMs);
  return `Break of ${duration(minutes)} on pitch ${pitch} until ${until}, left out of the pace.`;
}
