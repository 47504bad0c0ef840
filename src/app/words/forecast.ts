import { UNKNOWN_DESCENT_MIN } from '../../forecast/input.ts';
import type { LatestTime } from '../../forecast/latest.ts';
import type { CutoffForecast, Forecast, Quantiles } from '../../forecast/model.ts';
import { dayClock, duration } from '../../time/format.ts';
import { nameOf, type TripState } from '../../trip/state.ts';
import type { Line } from '../reply.ts';
import { oddsWords } from './odds.ts';

export const CAUTION = 'A forecast, not a decision: the party on the wall decides.';

/** `18:50 (cautious 20:30)`; the cautious time holds in 9 ascents of 10. */
export function spanWords(state: TripState, q: Quantiles, nowMs: number): string {
  return `${timeWords(state, q.q50, nowMs)} (cautious ${timeWords(state, q.q90, nowMs)})`;
}

function timeWords(state: TripState, ms: number, nowMs: number): string {
  return Number.isFinite(ms) ? dayClock(state.zone, ms, nowMs) : 'not within a week';
}

/** A cutoff with its chance: those added, and the last shuttle when nobody added it. */
export type Bound = Pick<CutoffForecast, 'label' | 'atMs' | 'chance'> & { id?: string };

/** All that binds, the most threatened first. */
export function bounds(state: TripState, forecast: Forecast): Bound[] {
  const all: Bound[] = [...forecast.cutoffs];
  const { shuttle } = forecast;
  if (shuttle !== undefined && !forecast.cutoffs.some((c) => c.kind === 'shuttle')) {
    const label = `Last ${state.shuttle?.name ?? 'shuttle'}`;
    all.push({ label, atMs: shuttle.lastMs, chance: shuttle.chanceLast });
  }
  return all.sort((a, b) => a.chance - b.chance || a.atMs - b.atMs);
}

/** `Last boat 21:15: 3 in 4, it binds.` */
export function boundWords(
  state: TripState,
  bound: Bound,
  binds: boolean,
  nowMs: number,
  target = '',
): string {
  const at = dayClock(state.zone, bound.atMs, nowMs);
  return `${bound.label} ${at}${target}: ${oddsWords(bound.chance)}${binds ? ', it binds' : ''}.`;
}

/** The answer that leads: top-out, and the cutoff that binds. */
export function headline(state: TripState, forecast: Forecast, nowMs: number): string {
  if (state.phase === 'descending') {
    return `On top. Trailhead ${spanWords(state, forecast.trailhead, nowMs)}.`;
  }
  const [first, ...others] = bounds(state, forecast);
  const topout = `Top-out ${spanWords(state, forecast.topout, nowMs)}.`;
  if (first === undefined) return topout;
  return `${topout} ${boundWords(state, first, others.length > 0, nowMs)}`;
}

/** Until when the next checkpoint must be reached for what binds; or that it can't any more. */
export function latestWords(
  state: TripState,
  latest: readonly LatestTime[],
  cutoffs: readonly { id: string; label: string }[],
  nowMs: number,
): string | undefined {
  const next = latest.find((l) => l.pitch > 0 && l.latestMs !== undefined);
  const percent = `${Math.round(state.confidence * 100)} %`;
  if (next?.latestMs !== undefined) {
    const label = cutoffs.find((c) => c.id === next.cutoff)?.label ?? 'every cutoff';
    return `Be done with pitch ${next.pitch} by ${dayClock(state.zone, next.latestMs, nowMs)} to keep ${label} at ${percent}.`;
  }
  return latest.some((l) => l.byCutoff.length > 0)
    ? `Not every cutoff can be met at ${percent} any more: go on knowing that, sleep, or go down.`
    : undefined;
}

/** `A night on the wall: 3 in 4.` */
export function nightWords(forecast: Forecast): string | undefined {
  const any = 1 - (forecast.nights[0] ?? 1);
  if (any < 0.05) return undefined;
  const most = forecast.nights.findLastIndex((chance) => chance >= 0.05);
  const more = most > 1 ? `; up to ${most} nights are possible` : '';
  return `A night on the wall from here: ${oddsWords(any)}${more}.`;
}

/** `On the boat 13:40 (cautious 19:40). On foot instead: 1 in 10.` */
export function shuttleWords(
  state: TripState,
  forecast: Forecast,
  nowMs: number,
): string | undefined {
  const { shuttle, boarding } = forecast;
  if (shuttle === undefined || boarding === undefined) return undefined;
  const name = state.shuttle?.name ?? 'shuttle';
  const walk =
    shuttle.chanceWalk < 0.01 ? '' : ` On foot instead: ${oddsWords(shuttle.chanceWalk)}.`;
  return `On the ${name} ${spanWords(state, boarding, nowMs)}.${walk}`;
}

/** Who hangs long enough to hurt: 1.5 h is bearable, 2.5 h is not (common practice, no source). */
const HURTS_MIN = 90;

export function hangingWords(state: TripState, forecast: Forecast): string[] {
  return forecast.hanging
    .filter((h) => h.meanMin >= HURTS_MIN)
    .sort((a, b) => b.meanMin - a.meanMin)
    .slice(0, 3)
    .map(
      (h) =>
        `${nameOf(state, h.climber)} hangs about ${duration(h.meanMin)} at the stance after pitch ${h.pitch} (cautious ${duration(h.q90Min)}).`,
    );
}

/** `Pace 1.2 times the defaults so far (1.1 to 1.4), from 5 stages.` */
export function paceWords(state: TripState, forecast: Forecast): string[] {
  const { party, leaders } = forecast.pace;
  if (party.stages === 0) return ['Pace: nothing told yet, so the defaults.'];
  const span = (p: { factor: number; low: number; high: number }) =>
    `${p.factor.toFixed(2)} (${p.low.toFixed(2)} to ${p.high.toFixed(2)})`;
  return [
    `Pace against the defaults, 1 is as expected, more is slower: party ${span(party)} from ${party.stages} told.`,
    ...leaders
      .filter((l) => l.stages > 0)
      .map((l) => `${nameOf(state, l.climber)} leading ${span(l)} from ${l.stages}.`),
  ];
}

/** What the forecast had to assume. */
export function assumptionWords(state: TripState, forecast: Forecast): string[] {
  const s = state.settings;
  const lines: string[] = [];
  if (s.descentMin === undefined && s.descentKm === undefined) {
    lines.push(
      `Descent not given: ${duration(UNKNOWN_DESCENT_MIN)} assumed, from memory. /trip edit`,
    );
  }
  if (state.place.lat === undefined)
    lines.push('No place given, so darkness is left out. /trip edit');
  if (state.rains.at(-1) !== undefined && state.rains.at(-1)?.toMs === undefined) {
    lines.push(`It is raining: as if it ended now, and ${s.wetHours} h held.`);
  }
  if (forecast.unfinished > 0) {
    const share = oddsWords(forecast.unfinished / forecast.ascents);
    lines.push(`No end found within a week: ${share}. Is there a place to sleep in the topo?`);
  }
  return lines;
}

export function present<T extends Line>(lines: readonly (T | undefined)[]): T[] {
  return lines.filter((line): line is T => line !== undefined);
}
