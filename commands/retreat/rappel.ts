import { type Options, sub } from '../../src/app/command.ts';
import { toldAtOption } from '../../src/app/options.ts';
import { troubleStands } from '../../src/app/trouble-asked.ts';
import { toldTime } from '../../src/app/when.ts';
import { changeTimeButton, undoButton } from '../../src/app/words/post.ts';
import { LIMITS } from '../../src/limits.ts';
import { change } from '../../src/record/change.ts';
import { dayClock } from '../../src/time/format.ts';
import { openRetreat, stanceOf, stanceWords } from '../../src/trip/kinds/retreat.ts';
import { RAPPEL_DONE } from './begin.ts';

const options = {
  station: {
    type: 'integer',
    description: 'The stance you are at now, 0 on the ground; one lower when left out',
    min: 0,
    max: LIMITS.pitches,
  },
  at: toldAtOption,
} as const satisfies Options;

declare module '../../src/say/press.ts' {
  interface Paths {
    'retreat rappel': typeof options;
  }
}

/** One rappel done, everybody at the lower station. */
export const rappel = sub({
  description: 'A rappel is done and everybody is at the station',
  access: 'act',
  options,
  run: (call, { station, at }, app) =>
    change(app, call, {
      decide({ state }) {
        const retreat = openRetreat(state);
        // Without a retreat the gate refuses it, and says how to begin one.
        const from = retreat === undefined ? 1 : stanceOf(retreat).pitch;
        return [
          {
            kind: 'retreat.rappelled',
            data: { station: station ?? Math.max(0, from - 1) },
            ...toldTime(state, call, at),
          },
        ];
      },
      answer({ after, events }) {
        const retreat = openRetreat(after);
        const here = retreat && stanceOf(retreat);
        const seq = events[0]?.seq ?? 0;
        const when = dayClock(after.zone, here?.atMs ?? call.atMs, call.atMs);
        const ground = here?.pitch === 0;
        const stands = troubleStands(after, call.atMs);
        return {
          lines: [
            `At ${stanceWords(here?.pitch ?? 0)} at ${when}; rappels so far: ${retreat?.rappels.length ?? 0}.`,
            ground
              ? ['When everyone is down: ', { code: '/trip down' }]
              : ['The next: ', { code: '/retreat rappel' }],
            ...stands.lines,
          ],
          buttons: [
            ...stands.buttons,
            ground
              ? { label: 'Everyone is down', press: { path: 'trip down', options: {} } }
              : RAPPEL_DONE,
            undoButton(seq),
            changeTimeButton(seq),
          ],
        };
      },
    }),
});
