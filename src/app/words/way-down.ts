import { dayClock } from '../../time/format.ts';
import { daysBetween, localDay } from '../../time/zone.ts';
import { openRetreat, stanceOf, stanceWords } from '../../trip/kinds/retreat.ts';
import type { RappelReach } from '../../trip/ropes.ts';
import type { TripState } from '../../trip/state.ts';
import { type RappelWay, unknownStations } from '../../trip/stations.ts';
import { lengthText } from '../../trip/units.ts';
import { type WayBack, wayBack } from '../way-back.ts';
import { oddsWords } from './odds.ts';

/** The way down from a stance as it is said: how many rappels, when on the ground and at the stop, what light. */
export interface WayDown {
  lines: string[];
  /** No way by rappel, by the topo and the ropes. */
  blocked: boolean;
}

/** The way down by rappel from the stance after `done`, begun now. */
export function wayDown(state: TripState, done: number, nowMs: number): WayDown {
  const back = wayBack(state, done, nowMs, nowMs);
  const { blocked, legs } = back.way;
  if (blocked !== undefined) {
    const past = `past the stance after pitch ${blocked.at}`;
    return {
      lines: [`Down: no way by rappel ${past}, by the topo and the ropes: /retreat compare`],
      blocked: true,
    };
  }
  const unknown = unknownStations(state, { legs });
  return {
    lines: [
      `Down: ${downWords(state, back, nowMs)}`,
      ...(unknown.length === 0
        ? []
        : [`Not known whether one can rappel from ${unknown.join(', ')}.`]),
    ],
    blocked: false,
  };
}

/** What is left of the whole party's retreat: when on the ground and home; nothing on the ground, or without a known way. */
export function downLeft(state: TripState, nowMs: number): string[] {
  const retreat = openRetreat(state);
  const from = retreat === undefined ? 0 : stanceOf(retreat).pitch;
  if (from === 0) return [];
  const { lines, blocked } = wayDown(state, from, nowMs);
  return blocked ? [] : lines;
}

function downWords(state: TripState, back: WayBack, nowMs: number): string {
  const { way, ground, stop, duskMs, dawnMs, latestLightMs } = back;
  const at = (ms: number) => dayClock(state.zone, ms, nowMs);
  const count = way.legs.length === 1 ? '1 rappel' : `${way.legs.length} rappels`;
  const home = stop === undefined ? '' : ` At the stop ${at(stop.q50)}.`;
  const said = shuttleWords(state, back, nowMs);
  const shuttle = said === '' ? '' : ` ${said}`;
  const light =
    dawnMs !== undefined
      ? ` Dark until ${at(dawnMs)}.${boatWords(state, back, nowMs)}`
      : duskMs === undefined || latestLightMs === undefined
        ? ''
        : latestLightMs > nowMs
          ? ` Begun by ${at(latestLightMs)} it is done in the light.`
          : ` The end is in the dark.${boatWords(state, back, nowMs)}`;
  return `${count}, on the ground ${at(ground.q50)} (cautious ${at(ground.q90)}).${home}${shuttle}${light}`;
}

/** `two ropes joined reach 60 m`. */
export function reachWords(
  { units }: Pick<TripState, 'units'>,
  { how, reachM, unsure }: RappelReach,
): string {
  const far = lengthText(reachM, units);
  return how === 'joined'
    ? `two ropes joined reach ${far}${unsure === true ? ', if a second is carried' : ''}`
    : `one rope doubled reaches ${far}`;
}

/** Why there is no way on: no station, a traverse, or the ropes are too short. Only for a way that ends above the ground. */
export function blockedWords(state: TripState, { blocked, reach }: RappelWay): string {
  if (blocked === undefined) return '';
  const { at, why, nextM, pitch = at } = blocked;
  const where = stanceWords(at);
  if (why === 'no station') return `${where} is no station`;
  if (why !== 'too far') return `pitch ${pitch} is a ${why}, and no rope goes back over it`;
  const far = lengthText(nextM, state.units);
  // 30.5 m that a reach of 30 m doesn't make.
  const isClose = far === lengthText(reach.reachM, state.units);
  return `from ${where} the next is ${isClose ? `a little more than ${far}` : far} below; ${reachWords(state, reach)}`;
}

/** Until when a way down in the dark can be chosen for the last shuttle. */
function boatWords(state: TripState, { last }: WayBack, nowMs: number): string {
  if (last === undefined || last.latestMs <= nowMs) return '';
  const name = state.shuttle?.name ?? 'shuttle';
  return ` Begun by ${dayClock(state.zone, last.latestMs, nowMs)} for the ${name} of ${dayClock(state.zone, last.atMs, nowMs)}.`;
}

/** The day's last one with its odds; when that has gone before they are there, the next day's first. */
export function shuttleWords(
  state: TripState,
  { ground, stop, last, nextMs }: Pick<WayBack, 'ground' | 'stop' | 'last' | 'nextMs'>,
  nowMs: number,
): string {
  if (last === undefined || nextMs === undefined) return '';
  const name = state.shuttle?.name ?? 'shuttle';
  const thereMs = (stop ?? ground).q50;
  const sameDay = daysBetween(localDay(state.zone, thereMs), localDay(state.zone, nextMs)) === 0;
  const by = stop === undefined ? ' to be on the ground by then' : '';
  return sameDay
    ? `Last ${name} ${dayClock(state.zone, last.atMs, nowMs)}: ${oddsWords(last.chance, state)}${by}.`
    : `Next ${name} ${dayClock(state.zone, nextMs, nowMs)}.`;
}
