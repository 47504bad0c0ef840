import { watched } from '../../src/alarm/expectations.ts';
import { planSeq } from '../../src/alarm/weaker.ts';
import { reachable } from '../../src/alarm/who.ts';
import { nextLines } from '../../src/alarm/words/news.ts';
import { type Call, type Options, sub } from '../../src/app/command.ts';
import { toldAtOption } from '../../src/app/options.ts';
import { partNames, partOptions, spokenIn } from '../../src/app/parts.ts';
import { hereOption, mustStillBeAt } from '../../src/app/still-there.ts';
import { troubleStands } from '../../src/app/trouble-asked.ts';
import { wayBack } from '../../src/app/way-back.ts';
import { exactTime, toldTime } from '../../src/app/when.ts';
import { changeTimeButton, undoButtons } from '../../src/app/words/post.ts';
import { wayDown } from '../../src/app/words/way-down.ts';
import { LIMITS } from '../../src/limits.ts';
import { change } from '../../src/record/change.ts';
import { Refusal } from '../../src/say/refusal.ts';
import type { Button } from '../../src/say/reply.ts';
import { dayClock } from '../../src/time/format.ts';
import { openTroubles } from '../../src/trip/conditions.ts';
import { openRetreat, stanceOf, stanceWords } from '../../src/trip/kinds/retreat.ts';
import { toppedOutMs } from '../../src/trip/mode.ts';
import type { TripState } from '../../src/trip/state.ts';

const options = {
  at: toldAtOption,
  pitch: {
    type: 'integer',
    description: 'From the stance after which pitch; after the last one done when left out',
    min: 0,
    max: LIMITS.pitches,
  },
  here: hereOption,
  ...partOptions,
} as const satisfies Options;

declare module '../../src/say/press.ts' {
  interface Paths {
    'retreat begin': typeof options;
  }
}

/** The party comes down from where it is. A sign of life; nothing that is watched changes by it. */
export const begin = sub({
  description: 'You are coming down from here',
  access: 'post',
  options,
  run: (call, args, app) =>
    change(app, call, {
      decide({ state }) {
        mustBeOnTheWall(state, call);
        mustStillBeAt(state, args.here);
        const pitch = args.pitch ?? state.pitches.filter((p) => p.done !== undefined).length;
        const told = toldTime(state, call, args.at);
        const { who, drafts } = spokenIn(state, call, args, told.atMs, (label, of) => ({
          label,
          press: {
            path: 'retreat begin',
            options: { pitch, at: exactTime(told.atMs), ...of },
          },
        }));
        const data = { pitch, ...(who === undefined ? {} : { who }) };
        return [...drafts, { kind: 'retreat.began', data, ...told }];
      },
      answer({ after, events }) {
        const began = events.at(-1);
        const seq = began?.seq ?? 0;
        const retreat = [...after.retreats, ...after.partRetreats].find((r) => r.seq === seq);
        const who = began?.kind === 'retreat.began' ? began.data.who : undefined;
        const since = dayClock(after.zone, retreat?.sinceMs ?? call.atMs, call.atMs);
        const stands = troubleStands(after, call.atMs);
        return {
          lines: [
            `${who === undefined ? 'Coming' : `${partNames(after, who)} coming`} down from ${stanceWords(retreat?.fromPitch ?? 0)} since ${since}.`,
            ...(who === undefined ? wayLines(after, retreat?.fromPitch ?? 0, call.atMs) : []),
            ['After each rappel: ', { code: '/retreat rappel' }],
            [
              'Everyone down: ',
              { code: '/trip down' },
              '. Climbing on again: ',
              { code: '/retreat stop' },
            ],
            ...stands.lines,
            ...(watched(after) ? nextLines(after, call.atMs) : []),
          ],
          buttons: [
            ...stands.buttons,
            rappelDone(who),
            ...(who === undefined ? downBy(after, call.atMs) : []),
            ...undoButtons(events),
            changeTimeButton(seq),
          ],
        };
      },
    }),
});

/** When on the ground, or from where no way is known; nothing from the ground itself. */
function wayLines(state: TripState, from: number, nowMs: number): readonly string[] {
  return from === 0 ? [] : wayDown(state, from, nowMs).lines;
}

const HALF_HOUR_MS = 30 * 60_000;

/**
 * A new promise for home, that also tells them of the retreat: when nine in ten are down, by the topo and the
 * ropes, to the next half hour. None where no way is known, or where that is agreed already.
 */
function downBy(state: TripState, nowMs: number): Button[] {
  const retreat = openRetreat(state);
  if (retreat === undefined || !watched(state) || reachable(state).length === 0) return [];
  const { way, ground, stop } = wayBack(state, stanceOf(retreat).pitch, nowMs, nowMs);
  if (way.blocked !== undefined || way.legs.length === 0) return [];
  const byMs = Math.ceil((stop ?? ground).q90 / HALF_HOUR_MS) * HALF_HOUR_MS;
  if (state.watch.plan.downMs === byMs) return [];
  // Whoever presses it says so; the message home does too.
  const well = openTroubles(state).length === 0 ? 'all well, ' : '';
  return [
    {
      label: `Tell home: ${well}down by ${dayClock(state.zone, byMs, nowMs)}`,
      press: { path: 'checkin plan', options: { down: exactTime(byMs), plan: planSeq(state) } },
    },
  ];
}

/** Posts a rappel; of those named, in a party in parts. */
export function rappelDone(who: readonly string[] | undefined): Button {
  const options = who === undefined ? {} : { who: who.join(',') };
  return { label: 'Rappel done', tone: 'main', press: { path: 'retreat rappel', options } };
}

function mustBeOnTheWall(state: TripState, call: Call): void {
  if (state.downAtMs !== undefined) {
    throw new Refusal('retreating', [
      `Everyone was down at ${dayClock(state.zone, state.downAtMs, call.atMs)}, so nobody retreats.`,
      [
        'If they are not down: ',
        { code: '/log show' },
        ' has its number for ',
        { code: '/pitch strike' },
      ],
    ]);
  }
  if (toppedOutMs(state) === undefined) return;
  throw new Refusal('retreating', [
    'You have topped out, so this is the way down, not a retreat.',
    ['When you leave the top: ', { code: '/trip down reached:"left the top"' }],
  ]);
}
