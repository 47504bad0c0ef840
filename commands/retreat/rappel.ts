import { type Options, sub } from '../../src/app/command.ts';
import { toldAtOption } from '../../src/app/options.ts';
import { partNames, partOptions, spokenIn } from '../../src/app/parts.ts';
import { troubleStands } from '../../src/app/trouble-asked.ts';
import { exactTime, type Told, toldTime } from '../../src/app/when.ts';
import { changeTimeButton, undoButtons } from '../../src/app/words/post.ts';
import { downLeft } from '../../src/app/words/way-down.ts';
import { LIMITS } from '../../src/limits.ts';
import { change } from '../../src/record/change.ts';
import { capital } from '../../src/say/capital.ts';
import { Refusal } from '../../src/say/refusal.ts';
import type { Button } from '../../src/say/reply.ts';
import { dayClock } from '../../src/time/format.ts';
import { atStance, retreatOf, stanceOf } from '../../src/trip/kinds/retreat.ts';
import { lengthDownM, rappelReach } from '../../src/trip/ropes.ts';
import type { TripState } from '../../src/trip/state.ts';
import { lengthText } from '../../src/trip/units.ts';
import { rappelDone } from './begin.ts';

const options = {
  station: {
    type: 'integer',
    description: 'The stance you are at now, 0 on the ground; one lower when left out',
    min: 0,
    max: LIMITS.pitches,
  },
  at: toldAtOption,
  ...partOptions,
  /** Longer than the ropes reach: asked before. */
  sure: { type: 'boolean', description: 'Asked before', hidden: true },
} as const satisfies Options;

declare module '../../src/say/press.ts' {
  interface Paths {
    'retreat rappel': typeof options;
  }
}

/** One rappel done, everybody at the lower station. */
export const rappel = sub({
  description: 'A rappel is done and everybody is at the station',
  access: 'post',
  options,
  run: (call, { station, at, sure, ...args }, app) =>
    change(app, call, {
      decide({ state }) {
        const told = toldTime(state, call, at);
        const { who, drafts } = spokenIn(state, call, args, told.atMs, (label, of) => ({
          label,
          press: {
            path: 'retreat rappel',
            options: {
              at: exactTime(told.atMs),
              ...(station === undefined ? {} : { station }),
              ...of,
            },
          },
        }));
        const retreat = retreatOf(state, who);
        // Without a retreat the gate refuses it, and says how to begin one.
        const from = retreat === undefined ? 1 : stanceOf(retreat).pitch;
        const to = station ?? Math.max(0, from - 1);
        if (sure !== true && retreat !== undefined) mustReach(state, from, to, { who, told });
        const data = {
          station: to,
          ...(who === undefined ? {} : { who }),
        };
        return [...drafts, { kind: 'retreat.rappelled', data, ...told }];
      },
      answer({ after, events }) {
        const made = events.at(-1);
        const who = made?.kind === 'retreat.rappelled' ? made.data.who : undefined;
        const retreat = retreatOf(after, who);
        const here = retreat && stanceOf(retreat);
        const stance = atStance(here?.pitch ?? 0);
        const where = who === undefined ? stance : `${partNames(after, who)} ${stance}`;
        const seq = made?.seq ?? 0;
        const when = dayClock(after.zone, here?.atMs ?? call.atMs, call.atMs);
        const ground = here?.pitch === 0;
        const stands = troubleStands(after, call.atMs);
        return {
          lines: [
            `${capital(where)} at ${when}; rappels so far: ${retreat?.rappels.length ?? 0}.`,
            ground
              ? [
                  who === undefined ? 'When everyone is down: ' : 'When they are off the wall: ',
                  { code: `/trip down${who === undefined ? '' : ` who:${who.join(',')}`}` },
                ]
              : ['The next: ', { code: '/retreat rappel' }],
            ...(who === undefined ? downLeft(after, call.atMs) : []),
            ...stands.lines,
          ],
          buttons: [
            ...stands.buttons,
            ground ? downButton(after, who) : rappelDone(who),
            ...undoButtons(events),
            changeTimeButton(seq),
          ],
        };
      },
    }),
});

/**
 * A rappel is no longer than the ropes reach. Told of stances further apart, it was several.
 *
 * @throws Refusal with the figure, and a press for several
 */
function mustReach(
  state: TripState,
  from: number,
  to: number,
  { who, told }: { who: readonly string[] | undefined; told: Told },
): void {
  const { reachM, how, unsure } = rappelReach(state);
  const downM = lengthDownM(state, from, to);
  if (downM <= reachM) return;
  const show = (m: number) => lengthText(m, state.units);
  const ropes =
    how === 'single'
      ? `One rope doubled reaches ${show(reachM)}`
      : `Two ropes joined reach ${show(reachM)}${unsure === true ? ' at most' : ''}`;
  const where = (n: number) => (n === 0 ? 'the ground' : `stance ${n}`);
  throw new Refusal(
    'hardly-true',
    [
      `From ${where(from)} to ${where(to)} it is ${show(downM)}. ${ropes}. Nothing is noted yet.`,
      ['Other ropes: ', { code: '/trip edit ropes:"lead 70 tag 70"' }],
    ],
    [
      {
        label: `At ${where(to)}, by several rappels`,
        press: {
          path: 'retreat rappel',
          options: {
            station: to,
            at: exactTime(told.atMs),
            sure: true,
            ...(who === undefined ? {} : { who: who.join(',') }),
          },
        },
      },
    ],
  );
}

function downButton(state: TripState, who: readonly string[] | undefined): Button {
  if (who === undefined)
    return { label: 'Everyone is down', press: { path: 'trip down', options: {} } };
  const press = { path: 'trip down', options: { who: who.join(',') } } as const;
  return { label: `${partNames(state, who)} off the wall`, press };
}
