import { type Options, sub } from '../../src/app/command.ts';
import { type WayBack, wayBack } from '../../src/app/way-back.ts';
import { shuttleWords } from '../../src/app/words/way-down.ts';
import { LIMITS } from '../../src/limits.ts';
import { look } from '../../src/record/trips.ts';
import { Refusal } from '../../src/say/refusal.ts';
import type { Button, Line } from '../../src/say/reply.ts';
import { dayClock, duration } from '../../src/time/format.ts';
import { openRetreat, stanceOf, stanceWords } from '../../src/trip/kinds/retreat.ts';
import type { TripState } from '../../src/trip/state.ts';
import { lastWayBack, type RappelWay } from '../../src/trip/stations.ts';
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
    const back = wayBack(state, from, call.atMs, call.atMs);
    const { blocked } = back.way;
    return {
      lines: [
        wayWords(state, from, back.way),
        ...(blocked === undefined ? timesLines(state, back, call.atMs) : []),
        ...unknownLines(back.way),
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
  'By the topo and the ropes told. Traverses, roofs, stuck ropes and the state of the anchors aren’t in it: the party on the wall decides.';

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

function wayWords(state: TripState, from: number, { legs, reach, blocked }: RappelWay): string {
  const m = (length: number) => lengthText(length, state.units);
  const ropes =
    reach.how === 'joined'
      ? `two ropes joined reach ${m(reach.reachM)}${reach.unsure === true ? ', if a second is carried' : ''}`
      : `one rope doubled reaches ${m(reach.reachM)}`;
  if (blocked !== undefined) {
    const where = stanceWords(blocked.at);
    const why =
      blocked.why === 'no station'
        ? `${where} is no station`
        : `from ${where} the next is ${m(blocked.nextM)} below; ${ropes}`;
    return `No way down by rappel from ${stanceWords(from)}: ${why}.`;
  }
  const longest = Math.max(...legs.map((l) => l.lengthM));
  const count = legs.length === 1 ? '1 rappel' : `${legs.length} rappels`;
  const over = legs.filter((l) => l.to > 0).map((l) => l.to);
  const stations = over.length === 0 ? '' : ` by ${over.join(', ')}`;
  return `From ${stanceWords(from)}: ${count}${stations}, the longest ${m(longest)}; ${ropes}.`;
}

function timesLines(state: TripState, back: WayBack, nowMs: number): Line[] {
  const at = (ms: number) => dayClock(state.zone, ms, nowMs);
  const { ground, stop, duskMs } = back;
  const dark =
    duskMs === undefined
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
function unknownLines({ legs }: RappelWay): Line[] {
  const unknown = legs.filter((l) => !l.known).map((l) => l.to);
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
