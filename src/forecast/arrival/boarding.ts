import type { WayOut } from '../way-out.ts';
import { type Arrival, type MassOnAxis, momentAt, placeAt, tidyChance } from './arrival.ts';
import {
  addAt,
  cumulativeOf,
  type DurationMass,
  emptyMass,
  type ProbabilityMass,
  quantilePlace,
  totalMass,
} from './mass.ts';

/** How the party gets away from the trailhead. */
export interface Boarding {
  /** When it boards, or is out on foot. */
  away: Arrival;
  /** Chance to board each departure. */
  caught: Float64Array;
  /** Chance to walk out. Who neither boards nor walks is still there when days or timetable end. */
  onFoot: number;
}

/**
 * Whoever is at the trailhead takes the next departure of the day; after the day's last one the
 * party walks, unless the next service day's first leaves before it would be out (`way-out.ts`).
 *
 * @param walk how long the walk takes; undefined where nobody walks
 */
export function boardingOf(
  way: WayOut,
  road: MassOnAxis,
  walk: DurationMass | undefined,
): Boarding {
  const { departureMin, lastOfDay, boardMin } = way;
  const { spread, grid } = road;
  const count = departureMin.length;
  const out = emptyMass(grid);
  const caught = new Float64Array(count);
  const there = cumulativeOf(spread);
  let from = spread.low - 1;
  for (let d = 0; d <= count; d++) {
    const departs = d < count ? (departureMin[d] as number) : Number.POSITIVE_INFINITY;
    const to = Math.min(spread.high, placeAt(road, departs - boardMin));
    if (to <= from) continue;
    const gone = d === count || (d > 0 && lastOfDay[d - 1] === 1);
    const stays =
      gone && walk
        ? walkOut(spread, { from, to }, walk, placeAt(road, departs), out)
        : there(to) - there(from);
    if (d < count) caught[d] = stays;
    from = to;
  }
  return { away: awayBy(way, road, caught, out), caught, onFoot: tidyChance(totalMass(out)) };
}

/**
 * Those who come between two places walk where that is sooner than the next departure; adds when they
 * are out to `out`, and returns the chance of those who rather wait.
 */
function walkOut(
  spread: ProbabilityMass,
  { from, to }: { from: number; to: number },
  walk: DurationMass,
  departs: number,
  out: ProbabilityMass,
): number {
  let waits = 0;
  const { mass, low, high } = spread;
  const last = out.mass.length - 2;
  for (let i = Math.max(low, Math.floor(from + 0.5)); i < high && i - 0.5 < to; i++) {
    const chance = (mass[i] as number) * (Math.min(to, i + 0.5) - Math.max(from, i - 0.5));
    for (let j = 0; chance > 0 && j < walk.count; j++) {
      const at = i + walk.first + j;
      const share = chance * (walk.share[j] as number);
      if (at < departs) addAt(out, Math.min(last, at), share);
      else waits += share;
    }
  }
  return waits;
}

function awayBy(
  way: WayOut,
  road: MassOnAxis,
  caught: Float64Array,
  out: ProbabilityMass,
): Arrival {
  const { departureMin } = way;
  const chances = cumulativeOf(out);
  const outBy = (atMin: number): number => chances(placeAt(road, atMin));
  const momentOut = (p: number): number => momentAt(road, quantilePlace(out, p));
  return {
    chanceBy: (atMin) => {
      let sum = outBy(atMin);
      caught.forEach((chance, d) => {
        if ((departureMin[d] as number) <= atMin) sum += chance;
      });
      return tidyChance(sum);
    },
    quantile: (p) => {
      let boarded = 0;
      for (let d = 0; d < caught.length; d++) {
        const departs = departureMin[d] as number;
        const walked = outBy(departs);
        if (boarded + walked >= p) return momentOut(p - boarded);
        boarded += caught[d] as number;
        if (boarded + walked >= p) return departs;
      }
      return momentOut(p - boarded);
    },
  };
}
