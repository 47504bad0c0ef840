import type { Forecast } from '../../forecast/model.ts';
import { asForecast, lastRope } from '../../forecast/rope-behind.ts';
import { clock, dayClock } from '../../time/format.ts';
import { daysBetween, localDay } from '../../time/zone.ts';
import { isPastTop } from '../../trip/mode.ts';
import type { TripState } from '../../trip/state.ts';
import { partNames } from '../parts.ts';
import { oddsWords } from './odds.ts';

type Days = Pick<Forecast, 'topout' | 'days' | 'nights' | 'nextNight'>;

/** A day on which fewer top out isn't named. */
const WORTH_NAMING = 0.1;
const FIVE_MS = 5 * 60_000;

/** Pitches left up to which a forecast time is said to the minute. */
const TO_THE_MINUTE = 2;

/** A forecast time as it is said: beyond the next two pitches to five minutes, as nobody knows it better. */
export function saidMs(state: TripState, ms: number): number {
  const left = asForecast(state).pitches.filter((p) => p.done === undefined).length;
  return left > TO_THE_MINUTE ? Math.round(ms / FIVE_MS) * FIVE_MS : ms;
}

/** `18:50 (cautious 20:30)`; the cautious time holds 9 times in 10. */
export function spanWords(
  state: TripState,
  { q50, q90 }: Forecast['topout'],
  nowMs: number,
): string {
  const never = 'not within a week';
  if (!Number.isFinite(q50)) return never;
  const late = Number.isFinite(q90) ? dayClock(state.zone, saidMs(state, q90), nowMs) : never;
  return `${dayClock(state.zone, saidMs(state, q50), nowMs)} (cautious ${late})`;
}

/** The days worth naming: where it is open on which of several days they top out, all of those. */
export function branchesOf(days: Days['days']): Days['days'] {
  return days.filter((day) => day.chance >= WORTH_NAMING);
}

/** Whether it is open on which day they top out. */
export function isBranched(forecast: Pick<Days, 'days'>): boolean {
  return branchesOf(forecast.days).length > 1;
}

/**
 * `Top-out Fri 11:12 (cautious Fri 13:42).`; or, where a night may or may not come first, a branch a day:
 * `Top-out by 22:30: 1 in 3. Otherwise Fri 11:40–15:20, after a night after pitch 8.`
 */
export function topoutWords(state: TripState, forecast: Days, nowMs: number): string {
  const branches = branchesOf(forecast.days);
  const last = branches.at(-1);
  if (branches.length < 2 || last === undefined) {
    // After a silence the forecast may lie behind: nobody has said that they are up.
    const past = forecast.topout.q90 < nowMs && !isPastTop(state);
    return `Top-out ${spanWords(state, forecast.topout, nowMs)}${past ? '; that is past, and nobody said that they are up' : ''}.`;
  }
  let before = 0;
  const by = branches.slice(0, -1).map(({ chance, topout }) => {
    // Nine in ten of those who top out that day are up by then.
    const odds = oddsWords(before + 0.9 * chance, state);
    before += chance;
    return `by ${dayClock(state.zone, roundUp(topout.q90), nowMs)}: ${odds}`;
  });
  const range = rangeWords(state, last.topout, nowMs);
  return `Top-out ${by.join('; ')}. Otherwise ${range}${nightWords(forecast)}.`;
}

const roundUp = (ms: number): number => Math.ceil(ms / FIVE_MS) * FIVE_MS;

/** `Fri 11:40–15:20`. */
function rangeWords({ zone }: TripState, { q10, q90 }: Forecast['topout'], nowMs: number): string {
  const from = Math.floor(q10 / FIVE_MS) * FIVE_MS;
  const to = roundUp(q90);
  const sameDay = daysBetween(localDay(zone, from), localDay(zone, to)) === 0;
  return `${dayClock(zone, from, nowMs)}–${sameDay ? clock(zone, to) : dayClock(zone, to, nowMs)}`;
}

/** Where the night between is spent, when it is as good as known. */
function nightWords({ nights, nextNight }: Days): string {
  const any = 1 - (nights[0] ?? 1);
  if (nextNight === undefined || nextNight.chance < any / 2) return ', after a night on the wall';
  return nextNight.pitch === 0
    ? ', after a night on the ground'
    : `, after a night after pitch ${nextNight.pitch}`;
}

/**
 * `If they go as expected: pitch 8 by now, top 15:40; nothing heard since 11:05.` Not told is not the same as not
 * done. Undefined while nothing untold is expected to be done.
 */
export function silenceWords(
  state: TripState,
  { silence, checkpoints }: Pick<Forecast, 'silence' | 'checkpoints'>,
  nowMs: number,
): string | undefined {
  if (silence === undefined) return undefined;
  const { heardMs, byNow, topoutMs, trailheadMs } = silence;
  const at = (ms: number) =>
    Number.isFinite(ms) ? dayClock(state.zone, ms, nowMs) : 'not within a week';
  const told = checkpoints.findLast((c) => c.actual !== undefined)?.pitch ?? 0;
  const onTop = isPastTop(state);
  if (onTop ? trailheadMs > nowMs : byNow <= told) return undefined;
  const [top, trailhead] = [at(saidMs(state, topoutMs)), at(saidMs(state, trailheadMs))];
  const expected = onTop
    ? `at the trailhead ${trailhead}`
    : topoutMs <= nowMs
      ? `on top ${top}, at the trailhead ${trailhead}`
      : `pitch ${byNow} by now, top ${top}`;
  const last = lastRope(state);
  const whom = last === undefined ? '' : ` of ${partNames(state, last.people)}`;
  // A word that names no place is heard, and says nothing of where they are.
  const isHeard = last === undefined && (state.watch.signs.at(-1)?.atMs ?? 0) > heardMs;
  const since = isHeard ? 'where they are was told last at' : `nothing heard${whom} since`;
  return `If they go as expected: ${expected}; ${since} ${at(heardMs)}.`;
}
