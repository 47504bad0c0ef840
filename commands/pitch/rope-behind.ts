import type { App } from '../../src/app/app.ts';
import type { Call } from '../../src/app/command.ts';
import { partNames } from '../../src/app/parts.ts';
import { progressLines } from '../../src/app/progress.ts';
import { exactTime, toldTime } from '../../src/app/when.ts';
import { changeTimeButton, toldWords, undoButton } from '../../src/app/words/post.ts';
import { lastRope } from '../../src/forecast/rope-behind.ts';
import { change } from '../../src/record/change.ts';
import { Refusal } from '../../src/say/refusal.ts';
import type { Reply } from '../../src/say/reply.ts';
import { dayClock, duration } from '../../src/time/format.ts';
import type { Fact } from '../../src/trip/fact.ts';
import { pitchAt, type TripState } from '../../src/trip/state.ts';
import { leastMin } from '../../src/trip/too-quick.ts';
import { frontTopMs, ropeMarks, ropesOf } from '../../src/trip/two-ropes.ts';
import { lengthText } from '../../src/trip/units.ts';
import type { MarkArgs } from './mark.ts';

/** A pitch done by a rope behind the first; without a number the next one that it has not done. */
export function postBehind(
  app: App,
  call: Call,
  rope: number,
  { number, at, sure }: MarkArgs,
): Promise<Reply> {
  return change(app, call, {
    decide({ state }) {
      mustBeThere(state, rope);
      const next = (ropeMarks(state).find((m) => m.rope === rope)?.pitch ?? 0) + 1;
      return [
        {
          kind: 'rope.done',
          data: { rope, pitch: number ?? next },
          ...toldTime(state, call, at),
        },
      ];
    },
    ask: ({ before, events }) => (sure === true ? undefined : askBehind(before, events[0])),
    async answer({ after, events }) {
      const made = events[0];
      if (made?.kind !== 'rope.done') return { lines: ['Nothing to note.'] };
      // While they follow close, the forecast is that of the rope in front.
      const up = frontTopMs(after) !== undefined || lastRope(after) !== undefined;
      const who = partNames(after, ropesOf(after)[rope - 1] ?? []);
      const when = dayClock(after.zone, made.atMs, call.atMs);
      const left = after.pitches.length - made.data.pitch;
      return {
        lines: [
          `${who}, behind: pitch ${made.data.pitch} done at ${when}${toldWords(after, made)}.`,
          ...(up
            ? await progressLines(app, after, call.atMs)
            : [left === 0 ? 'That was their last pitch.' : `${left} to go for them.`]),
        ],
        buttons: [undoButton(made.seq), changeTimeButton(made.seq)],
      };
    },
  });
}

/** Asks back a pitch that a rope behind was told to have done in less time than anybody needs. */
function askBehind(before: TripState, made: Fact | undefined): Refusal | undefined {
  if (made?.kind !== 'rope.done') return undefined;
  const { rope, pitch } = made.data;
  const last = ropeMarks(before).find((m) => m.rope === rope);
  const lengthM = pitchAt(before, pitch)?.lengthM;
  if (last === undefined || lengthM === undefined || last.pitch !== pitch - 1) return undefined;
  const minutes = Math.max(0, (made.atMs - last.atMs) / 60_000);
  if (minutes >= leastMin(lengthM, 'done')) return undefined;
  const took = duration(minutes);
  return new Refusal(
    'hardly-true',
    [
      `Pitch ${pitch} in ${took}, ${lengthText(lengthM, before.units)}? Their pitch ${last.pitch} was done at ${dayClock(before.zone, last.atMs, made.atMs)}.`,
      'Nothing is recorded yet.',
    ],
    [
      {
        label: `Yes, ${took}`,
        press: {
          path: 'pitch done',
          options: { rope, number: pitch, at: exactTime(made.atMs), sure: true },
        },
      },
    ],
  );
}

function mustBeThere(state: TripState, rope: number): void {
  const ropes = ropesOf(state);
  if (rope <= ropes.length) return;
  throw new Refusal('nobody-there', [
    `There is no rope ${rope}; ${ropes.length <= 1 ? 'all climb on one' : `there are ${ropes.length}`}.`,
    ['Who climbs with whom: ', { code: '/lead order ropes:"Mara, Jonas / Ines, Greta"' }],
  ]);
}
