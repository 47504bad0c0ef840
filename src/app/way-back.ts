import { resolveSettings } from '../forecast/defaults.ts';
import { forecastInput } from '../forecast/input.ts';
import {
  chanceBy,
  type RetreatWork,
  rappelsMin,
  retreatTimes,
  type Spread,
  Z90,
} from '../forecast/retreat-times.ts';
import { nextDeparture, wayOut } from '../forecast/way-out.ts';
import { latestBegin } from '../forecast/work-clock.ts';
import { climbers, type TripState } from '../trip/state.ts';
import { type RappelWay, rappelWay } from '../trip/stations.ts';

/** A way down by rappel with its times, epoch milliseconds. */
export interface WayBack {
  way: RappelWay;
  beginMs: number;
  ground: Spread;
  /** At the stop; undefined where the walk isn't known. */
  stop?: Spread;
  /** When it gets dark next after the beginning; undefined where it doesn't, or the place isn't known. */
  duskMs?: number;
  /** Begun by then, nine in ten are on the ground before it is dark; it may have passed. Left out in the dark. */
  latestLightMs?: number;
  /** It is begun in the dark, until then. */
  dawnMs?: number;
  /** The first departure they are at the stop for, by the median. */
  nextMs?: number;
  /** The last departure of the day on which they would be at the stop, and the chance to catch it, 0–1. */
  last?: {
    atMs: number;
    chance: number;
    /** Begun by then, nine in ten catch it; it may have passed. */
    latestMs: number;
  };
}

/**
 * The way down from a stance, begun at a moment, with light, walk and timetable.
 *
 * @param from stance, 0 is the ground
 * @param beginMs now or later, epoch milliseconds
 */
export function wayBack(state: TripState, from: number, nowMs: number, beginMs: number): WayBack {
  const way = rappelWay(state, from);
  const input = forecastInput(state, nowMs);
  const settings = resolveSettings(input.settings);
  const out = wayOut(input, settings);
  const { approachMin, haulBag } = state.settings;
  const work: RetreatWork = {
    rappels: way.legs.length,
    party: Math.max(1, climbers(state).length),
    bag: haulBag,
    walkMin: approachMin > 0 ? approachMin : undefined,
  };
  const origin = input.nowMs;
  const fromMin = (beginMs - origin) / 60_000;
  const times = retreatTimes(work, settings, out.clock, fromMin);
  const asMs = (s: Spread): Spread => ({
    q10: origin + s.q10 * 60_000,
    q50: origin + s.q50 * 60_000,
    q90: origin + s.q90 * 60_000,
  });
  const next = (times: readonly (number | undefined)[]) =>
    times.find((ms) => ms !== undefined && ms > beginMs);
  const duskMs = next(input.days.map((d) => d.duskMs));
  const dawnMs = next(input.days.map((d) => d.dawnMs));
  const isDark = dawnMs !== undefined && duskMs !== undefined && dawnMs < duskMs;
  const cautious = (walkMin = 0) =>
    (rappelsMin(work, settings) + walkMin) * Math.exp(Z90 * settings.sigmaDescent);
  const arrive = (times.stop ?? times.ground).q50;
  const nextMin = out.departureMin[nextDeparture(out, arrive)];
  let last = nextDeparture(out, arrive);
  while (last < out.departureMin.length && out.lastOfDay[last] !== 1) last++;
  const lastMin = out.departureMin[last];
  return {
    way,
    beginMs,
    ground: asMs(times.ground),
    ...(times.stop === undefined ? {} : { stop: asMs(times.stop) }),
    ...(duskMs === undefined ? {} : { duskMs }),
    ...(isDark ? { dawnMs } : {}),
    ...(duskMs === undefined || isDark
      ? {}
      : {
          latestLightMs:
            origin + latestBegin(out.clock, (duskMs - origin) / 60_000, cautious()) * 60_000,
        }),
    ...(nextMin === undefined ? {} : { nextMs: origin + nextMin * 60_000 }),
    ...(lastMin === undefined
      ? {}
      : {
          last: {
            atMs: origin + lastMin * 60_000,
            chance: chanceBy(work, settings, out.clock, fromMin, lastMin - out.boardMin),
            latestMs:
              origin +
              latestBegin(out.clock, lastMin - out.boardMin, cautious(work.walkMin)) * 60_000,
          },
        }),
  };
}
