import type { App } from '../../src/app/app.ts';
import type { Call } from '../../src/app/command.ts';
import { partNames } from '../../src/app/parts.ts';
import { toldTime } from '../../src/app/when.ts';
import { changeTimeButton, toldWords, undoButton } from '../../src/app/words/post.ts';
import { change } from '../../src/record/change.ts';
import { Refusal } from '../../src/say/refusal.ts';
import type { Reply } from '../../src/say/reply.ts';
import { dayClock } from '../../src/time/format.ts';
import type { TripState } from '../../src/trip/state.ts';
import { ropeMarks, ropesOf } from '../../src/trip/two-ropes.ts';
import type { MarkArgs } from './mark.ts';

/** A pitch done by a rope behind the first; without a number the next one that it has not done. */
export function postBehind(
  app: App,
  call: Call,
  rope: number,
  { number, at }: MarkArgs,
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
    answer({ after, events }) {
      const made = events[0];
      if (made?.kind !== 'rope.done') return { lines: ['Nothing to note.'] };
      const who = partNames(after, ropesOf(after)[rope - 1] ?? []);
      const when = dayClock(after.zone, made.atMs, call.atMs);
      const left = after.pitches.length - made.data.pitch;
      return {
        lines: [
          `${who}, behind: pitch ${made.data.pitch} done at ${when}${toldWords(after, made)}.`,
          left === 0 ? 'That was their last pitch.' : `${left} to go for them.`,
        ],
        buttons: [undoButton(made.seq), changeTimeButton(made.seq)],
      };
    },
  });
}

function mustBeThere(state: TripState, rope: number): void {
  const ropes = ropesOf(state);
  if (rope <= ropes.length) return;
  throw new Refusal('nobody-there', [
    `There is no rope ${rope}; ${ropes.length <= 1 ? 'all climb on one' : `there are ${ropes.length}`}.`,
    ['Who climbs with whom: ', { code: '/lead order ropes:"Mara, Jonas / Ines, Greta"' }],
  ]);
}
