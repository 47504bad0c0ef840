import { LITRES_A_DAY, litresFor, outingOf } from './kit.ts';
import type { TripState } from './state.ts';

const DAY_MS = 86_400_000;
const TEN_MIN_MS = 10 * 60_000;

/** Water as far as it is known: packed, of what is needed, and what is left by now. Litres. */
export interface Water {
  needed: number;
  /** Undefined: nobody said. */
  packed?: number;
  /** What they drink in a day, all together. */
  aDay: number;
  /** What is left by the usual thirst; undefined: not known, or not out yet. */
  left?: number;
  /** Until when that lasts, to ten minutes, epoch milliseconds. */
  untilMs?: number;
  /** What is missing for the days planned that are still to come; 0 where it is enough. */
  short?: number;
}

/**
 * The water of a party. What was told before they left is what they left with; an amount told since is what there
 * was then. From either they drink by the usual thirst: an estimate, never less than none.
 */
export function waterOf(state: TripState, nowMs: number): Water {
  const outing = outingOf(state);
  const aDay = outing.people * LITRES_A_DAY[outing.heat];
  const needed = litresFor(outing);
  const told = state.kit.get('water');
  const isKnown = told !== undefined && !told.off && (told.packed || told.amount !== undefined);
  if (!isKnown) return { needed, aDay };
  const packed = told.amount ?? needed;
  const { departedAtMs, downAtMs } = state;
  if (departedAtMs === undefined || downAtMs !== undefined) return { needed, packed, aDay };
  const sinceMs = Math.max(departedAtMs, told.atMs);
  const left = Math.max(0, packed - (aDay * Math.max(0, nowMs - sinceMs)) / DAY_MS);
  const toCome = needed - (aDay * Math.max(0, nowMs - departedAtMs)) / DAY_MS;
  const short = Math.max(0, toCome - left);
  const untilMs = nowMs + (left / aDay) * DAY_MS;
  return {
    needed,
    packed,
    aDay,
    left,
    short,
    untilMs: Math.floor(untilMs / TEN_MIN_MS) * TEN_MIN_MS,
  };
}

/** How many litres are short for so many days more than planned; 0 where it is enough, undefined where it isn't known. */
export function shortFor(water: Water, moreDays: number): number | undefined {
  if (water.packed === undefined) return undefined;
  return Math.max(0, water.needed + moreDays * water.aDay - water.packed);
}
