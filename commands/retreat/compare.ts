import { type Options, sub } from '../../src/app/command.ts';
import { type WayBack, wayBack } from '../../src/app/way-back.ts';
import { blockedWords, reachWords, shuttleWords } from '../../src/app/words/way-down.ts';
import { daysOf } from '../../src/forecast/trip-days.ts';
import { LIMITS } from '../../src/limits.ts';
import { look } from '../../src/record/trips.ts';
import { Refusal } from '../../src/say/refusal.ts';
import type { Button, Line } from '../../src/say/reply.ts';
import { dayClock, duration } from '../../src/time/format.ts';
import { openRetreat, stanceOf, stanceWords } from '../../src/trip/kinds/retreat.ts';
import { modeOf } from '../../src/trip/mode.ts';
import type { TripState } from '../../src/trip/state.ts';
import { lastWayBack, type RappelWay, unknownStations } from '../../src/trip/stations.ts';
import { lengthText } from '../../src/trip/units.ts';

const options = {
  pitch: {
    type: 'integer',
    description: 'From the stance after which pitch; where the party is when left out',
    min: 1,
    max: LIMITS.pitches,
  },
} as const satisfies Options;

declare module '../../src/say/press.ts' {
  interface Paths {
    'retreat compare': typeof options;
  }
}

/** The way down by rappel from a stance: stations, ropes, times, and from where there is none. */
export const compare = sub({
  description: 'Down from here: stations, ropes, when on the ground and home',
  access: 'look',
  options,
  async run(call, args, app) {
    const { state } = await look(app, call);
    const from = args.pitch ?? hereOf(state);
    mustHaveWay(state, from);
    // Before they leave, a way back is one of the first day, from its first move on, in the light.
    const [first] = daysOf(state, call.atMs);
    const firstMs = Math.max(first?.startMs ?? call.atMs, first?.dawnMs ?? 0);
    const beginMs = isAhead(state, call.atMs) ? firstMs : call.atMs;
    const back = wayBack(state, from, call.atMs, beginMs);
    const { blocked } = back.way;
    return {
      lines: [
        wayWords(state, from, back.way),
        ...tightLines(state, back.way),
        ...(blocked === undefined ? timesLines(state, back, call.atMs) : []),
        ...unknownLines(state, back.way),
        ...lastLines(state, from),
        ...(state.settings.haulBag
          ? ['The haul bag is lowered at each rappel, in the times.']
          : []),
        CAUTION,
      ],
      buttons: blocked === undefined ? beginButton(state, from) : [],
    };
  },
});

/** Whoever decides has more to look at than a topo has. */
const CAUTION =
  'By the topo and the ropes told. What the topo doesn’t mark, stuck ropes and the state of the anchors aren’t in it: the party on the wall decides.';

/** Whether nobody has set foot on the wall yet. */
function isAhead(state: TripState, nowMs: number): boolean {
  const { is } = modeOf(state, nowMs);
  return is === 'preparing' || is === 'going in';
}

/** The stance the party is at. */
function hereOf(state: TripState): number {
  const retreat = openRetreat(state);
  if (retreat !== undefined) return stanceOf(retreat).pitch;
  return state.pitches.filter((p) => p.done !== undefined).length;
}

function mustHaveWay(state: TripState, from: number): void {
  if (state.pitches.length === 0) {
    throw new Refusal('no-topo', [
      'Without a topo nothing is known of stations.',
      ['Load one: ', { code: '/topo load' }],
    ]);
  }
  if (from > state.pitches.length) {
    throw new Refusal('no-such-pitch', `The topo ends with pitch ${state.pitches.length}.`);
  }
  if (from === 0) {
    throw new Refusal('nothing-left', [
      'The party is on the ground by what was told.',
      ['From higher up: ', { code: '/retreat compare pitch:5' }],
    ]);
  }
}

function wayWords(state: TripState, from: number, way: RappelWay): string {
  const { legs, reach, blocked } = way;
  const m = (length: number) => lengthText(length, state.units);
  if (blocked !== undefined) {
    return `No way down by rappel from ${stanceWords(from)}: ${blockedWords(state, way)}.`;
  }
  const longest = Math.max(...legs.map((l) => l.lengthM));
  const count = legs.length === 1 ? '1 rappel' : `${legs.length} rappels`;
  const over = legs.filter((l) => l.to > 0).map((l) => l.to);
  const stations = over.length === 0 ? '' : ` by ${over.join(', ')}`;
  return `From ${stanceWords(from)}: ${count}${stations}, the longest ${m(longest)}; ${reachWords(state, reach)}.`;
}

/** Where the rope only just reaches. */
function tightLines({ units }: TripState, { legs, reach }: RappelWay): string[] {
  const tight = legs.filter((l) => l.tight);
  if (tight.length === 0) return [];
  const all = tight.map((l) => `${l.from} to ${l.to === 0 ? 'the ground' : l.to}`).join(', ');
  return [
    `Near the rope’s end (${lengthText(reach.reachM, units)}), knots not counted: ${all}. Tie the ends.`,
  ];
}

/** How long it takes by daylight, for a party that hasn't left; and until when on the first day it ends in the light. */
function aheadLines(state: TripState, back: WayBack, nowMs: number): Line[] {
  const { beginMs, ground, stop, duskMs, latestLightMs } = back;
  const takes = (ms: number) => duration((ms - beginMs) / 60_000);
  const walk =
    stop === undefined
      ? ''
      : ` At the stop after ${takes(stop.q50)}, with the approach walked back.`;
  const light =
    duskMs === undefined || latestLightMs === undefined || latestLightMs <= beginMs
      ? ''
      : ` Begun by ${dayClock(state.zone, latestLightMs, nowMs)} it is done in the light.`;
  return [
    `By daylight it takes ${takes(ground.q50)} (cautious ${takes(ground.q90)}).${walk}${light}`,
  ];
}

function timesLines(state: TripState, back: WayBack, nowMs: number): Line[] {
  if (isAhead(state, nowMs)) return aheadLines(state, back, nowMs);
  const at = (ms: number) => dayClock(state.zone, ms, nowMs);
  const { ground, stop, duskMs, dawnMs } = back;
  const dark =
    dawnMs !== undefined
      ? ` It is dark until ${at(dawnMs)}.`
      : duskMs === undefined
        ? ''
        : ground.q50 > duskMs
          ? ` Dark from ${at(duskMs)}: the end is in the dark.`
          : ` Dark ${at(duskMs)}, ${duration((duskMs - ground.q50) / 60_000)} later.`;
  const walk =
    stop === undefined
      ? []
      : [`At the stop ${at(stop.q50)} (cautious ${at(stop.q90)}), with the approach walked back.`];
  const shuttle = shuttleWords(state, back, nowMs);
  return [
    `Begun now: on the ground ${at(ground.q50)} (cautious ${at(ground.q90)}).${dark}`,
    ...walk,
    ...(shuttle === '' ? [] : [shuttle]),
  ];
}

/** What the topo doesn't say is said, never taken for a no. */
function unknownLines(state: TripState, way: RappelWay): Line[] {
  const unknown = unknownStations(state, way);
  if (unknown.length === 0) return [];
  const [first] = unknown;
  return [
    [
      `Not known whether one can rappel from ${unknown.join(', ')}: the topo doesn’t say. `,
      { code: `/topo edit number:${first} rappel:yes` },
    ],
  ];
}

function lastLines(state: TripState, from: number): string[] {
  const last = lastWayBack(state);
  if (last === undefined)
    return ['The topo and these ropes leave no way down by rappel from anywhere.'];
  if (last >= state.pitches.length) return [];
  return from > last
    ? [`The last stance with a way down by rappel is ${last}.`]
    : [`Above stance ${last} there is no way down by rappel.`];
}

function beginButton(state: TripState, pitch: number): Button[] {
  if (openRetreat(state) !== undefined || pitch !== hereOf(state)) return [];
  return [{ label: 'Come down from here', press: { path: 'retreat begin', options: { pitch } } }];
}
