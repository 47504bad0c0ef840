import type { Kept } from '../../src/app/forecast/latest.ts';
import { partNames } from '../../src/app/parts.ts';
import { oddsWords, percentWords } from '../../src/app/words/odds.ts';
import { asForecast } from '../../src/forecast/rope-behind.ts';
import { dayClock } from '../../src/time/format.ts';
import { daysBetween, localDay } from '../../src/time/zone.ts';
import type { TripState } from '../../src/trip/state.ts';

/**
 * `Be done with pitch 9 by 16:40 to keep the last boat at 90 %.`
 *
 * @param likely the odds that are said don't call all of them lost
 */
export function latestWords(
  state: TripState,
  kept: Kept,
  nowMs: number,
  likely: boolean,
): string | undefined {
  const { pitches, last } = asForecast(state);
  const done = pitches.findLast((p) => p.done !== undefined)?.number ?? 0;
  const onTop = done === state.pitches.length;
  const settled = state.nights.some((n) => n.leftMs === undefined);
  // Who rests, or is on top, asks how long that may last; who climbs, about the next stance.
  const from = onTop || settled ? done : done + 1;
  const next = kept.times.find((t) => t.pitch >= from && (t.latestMs ?? 0) >= nowMs);
  if (next?.latestMs === undefined) {
    // A planned night that is out of reach is said by itself.
    return likely || kept.lost.every((id) => id.startsWith('night:'))
      ? undefined
      : 'No cutoff ahead is likely to be met: go on knowing that, sleep, or go down.';
  }
  // On the way down today's times are asked for; who misses them stays no day longer on top.
  const isToday =
    daysBetween(localDay(state.zone, nowMs), localDay(state.zone, next.latestMs)) === 0;
  if (onTop && !settled && !state.bivyPlan.includes(done) && !isToday) return undefined;
  const act =
    next.pitch > done ? `Be done with pitch ${next.pitch}` : onTop ? 'Start down' : 'Climb on';
  const at = dayClock(state.zone, next.latestMs, nowMs);
  const named = kept.labels.get(next.cutoff ?? '') ?? 'every cutoff';
  const label = named.replace(/^Last /u, 'the last ');
  const below = kept.below.get(next.cutoff ?? '');
  const chance =
    below === undefined
      ? percentWords(state.confidence)
      : `${oddsWords(below, state)}; ${percentWords(state.confidence)} is out of reach`;
  // Where one rope is waited for, it is the one that is asked.
  const who = last === undefined ? '' : `${partNames(state, last.people)}: `;
  return `${who}${who === '' ? act : act.toLowerCase()} by ${at} to keep ${label} at ${chance}.`;
}
