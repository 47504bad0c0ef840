import { sub } from '../../src/app/command.ts';
import { pitchOption, toldAtOption } from '../../src/app/options.ts';
import { toldTime } from '../../src/app/when.ts';
import { changeTimeButton, undoButton } from '../../src/app/words/post.ts';
import { change } from '../../src/record/change.ts';
import { Refusal } from '../../src/say/refusal.ts';
import { dayClock, duration } from '../../src/time/format.ts';
import { currentPitch } from '../../src/trip/state.ts';

const options = {
  minutes: { type: 'integer', description: 'How long', required: true, min: 1, max: 720 },
  at: { ...toldAtOption, description: 'When it ended, if not now' },
  number: pitchOption('On which pitch; the one under way when left out'),
} as const;

declare module '../../src/say/press.ts' {
  interface Paths {
    'pitch break': typeof options;
  }
}

/** Marks a rest inside a pitch, so that the party's pace isn't learnt from it. */
export const pause = sub({
  description: 'A rest, a lunch, a stuck bag: left out of the pace',
  access: 'act',
  options,
  run: (call, { minutes, at, number }, app) =>
    change(app, call, {
      decide({ state }) {
        const pitch = number ?? currentPitch(state)?.number;
        if (pitch === undefined)
          throw new Refusal('needs-value', 'No pitch is under way; name one: number:5.');
        const told = toldTime(state, call, at);
        return [{ kind: 'pitch.break', data: { pitch, minutes }, ...told }];
      },
      answer({ after, events }) {
        const made = events[0];
        if (made === undefined) return { lines: ['Nothing to mark.'] };
        const { pitch } = made.data as { pitch: number };
        const until = dayClock(after.zone, made.atMs, call.atMs);
        return {
          lines: [
            `Break of ${duration(minutes)} on pitch ${pitch} until ${until}, left out of the pace.`,
          ],
          buttons: [undoButton(made.seq), changeTimeButton(made.seq)],
        };
      },
    }),
});
