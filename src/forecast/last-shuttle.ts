import type { Compiled } from './compile.ts';
import type { Forecast } from './model.ts';
import type { Outcomes } from './outcomes.ts';
import { shareBy } from './quantiles.ts';

/** Index of the last departure of the first service day that has one at or after `fromMin`; −1 when none does. */
function lastFrom(c: Compiled, fromMin: number): number {
  const { departureMin, lastOfDay } = c.wayOut;
  for (let d = 0; d < departureMin.length; d++) {
    if (lastOfDay[d] === 1 && (departureMin[d] as number) >= fromMin) return d;
  }
  return -1;
}

/**
 * The last departure of the planned day. That day is the plan's, whatever is forecast: a party that gets
 * later hears that its boat is in danger, not the name of the next day's. With it the next service day's,
 * and the chance to walk. Undefined without departures.
 */
export function lastShuttle(c: Compiled, o: Outcomes): Forecast['shuttle'] {
  const { departureMin, boardMin } = c.wayOut;
  if (departureMin.length === 0) return undefined;
  const { startMin } = c.rules;
  const day = Math.min(c.input.downDay ?? 0, startMin.length - 1);
  const found = lastFrom(c, startMin[day] as number);
  const last = found < 0 ? departureMin.length - 1 : found;
  const toMs = (d: number): number =>
    Math.round(c.input.nowMs + (departureMin[d] as number) * 60000);
  const chance = (d: number): number =>
    shareBy(o.trailhead, (departureMin[d] as number) - boardMin);
  // What there is after it is still to come.
  let first = last + 1;
  while (first < departureMin.length && (departureMin[first] as number) < 0) first++;
  const nextLast = first < departureMin.length ? lastFrom(c, departureMin[first] as number) : -1;
  return {
    lastMs: toMs(last),
    chanceLast: chance(last),
    ...(nextLast < 0
      ? {}
      : {
          next: { firstMs: toMs(first), lastMs: toMs(nextLast), chanceLast: chance(nextLast) },
        }),
    chanceWalk: o.onFoot / o.count,
  };
}
