import type { Compiled } from './compile.ts';
import type { Forecast } from './model.ts';
import { dayOf } from './nights.ts';
import type { Outcomes } from './outcomes.ts';
import { quantilesOf, shareBy } from './quantiles.ts';
import { onwardMin } from './state.ts';

const SHARES = [0.1, 0.5, 0.9] as const;

/**
 * Top-out by day: a party that may sleep once more tops out on one day or the next, and hardly ever at the
 * median between them. Days on which no ascent tops out are left out.
 */
export function topoutDays(c: Compiled, { topout, count }: Outcomes): Forecast['days'] {
  const { startMin } = c.rules;
  const byDay = new Map<number, number[]>();
  for (const atMin of topout) {
    if (atMin === Number.POSITIVE_INFINITY) continue;
    const day = Math.max(0, dayOf(startMin, atMin));
    const same = byDay.get(day);
    if (same === undefined) byDay.set(day, [atMin]);
    else same.push(atMin);
  }
  const toMs = (min: number): number => Math.round(c.input.nowMs + min * 60000);
  return [...byDay]
    .sort(([a], [b]) => a - b)
    .map(([, times]) => {
      const [q10, q50, q90] = quantilesOf(Float64Array.from(times), SHARES).map(toMs) as [
        number,
        number,
        number,
      ];
      return { chance: times.length / count, topout: { q10, q50, q90 } };
    });
}

/** Where the next night is spent most often, with the chance that it is spent there. */
export function nextNight(c: Compiled, { nightAt, count }: Outcomes): Forecast['nextNight'] {
  let most = -1;
  for (let k = 0; k < nightAt.length; k++) {
    if ((nightAt[k] as number) > (nightAt[most] ?? 0)) most = k;
  }
  if (most < 0) return undefined;
  const pitch = c.input.pitches[c.legs[most - 1]?.last ?? -1]?.number ?? 0;
  return { pitch, chance: (nightAt[most] as number) / count };
}

/** The next planned night that isn't reached yet and whose day isn't over, and the chance to be there by the stop time of its day. */
export function plannedNight(c: Compiled, o: Outcomes): Forecast['plannedNight'] {
  const { nightDay, startMin, stopMin } = c.rules;
  const today = dayOf(startMin, Math.max(0, onwardMin(c.state)));
  for (let k = c.state.leg + 1; k <= c.legs.length; k++) {
    const day = nightDay[k] as number;
    if (day < today) continue;
    const stop = stopMin[day];
    const pitch = c.input.pitches[c.legs[k - 1]?.last ?? -1]?.number;
    const done = o.done[k - 1 - c.state.leg];
    if (stop === undefined || pitch === undefined || done === undefined) continue;
    return {
      pitch,
      stopMs: Math.round(c.input.nowMs + stop * 60000),
      chance: shareBy(done, stop),
    };
  }
  return undefined;
}
