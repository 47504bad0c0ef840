import { modeWords } from '../../alarm/words/mode.ts';
import type { Forecast, Quantiles } from '../../forecast/model.ts';
import type { Line } from '../../say/reply.ts';
import { dayClock } from '../../time/format.ts';
import { modeOf } from '../../trip/mode.ts';
import type { TripState } from '../../trip/state.ts';
import { oddsWords } from './odds.ts';

export const CAUTION = 'A forecast, not a decision: the party on the wall decides.';

/** `18:50 (cautious 20:30)`; the cautious time holds 9 times in 10. */
export function spanWords(state: TripState, { q50, q90 }: Quantiles, nowMs: number): string {
  const never = 'not within a week';
  if (!Number.isFinite(q50)) return never;
  const late = Number.isFinite(q90) ? dayClock(state.zone, q90, nowMs) : never;
  return `${dayClock(state.zone, q50, nowMs)} (cautious ${late})`;
}

/** A cutoff still open, with its chance: those added, and the last shuttle when nobody added it. */
export interface Bound {
  id?: string;
  label: string;
  atMs: number;
  /** Chance to meet it, 0–1. */
  chance: number;
  /** Of several, the one that is threatened most and can still be met. */
  binds: boolean;
}

/** All that is still open, the most threatened first. */
export function bounds(
  state: TripState,
  { cutoffs, shuttle }: Pick<Forecast, 'cutoffs' | 'shuttle'>,
): Bound[] {
  const all = cutoffs.map(({ id, label, atMs, chance }): Bound => {
    const told = state.cutoffs.find((c) => c.id === id);
    return { id, label, atMs: told?.atMs ?? atMs, chance, binds: false };
  });
  if (shuttle !== undefined && !cutoffs.some((c) => c.kind === 'shuttle')) {
    const label = `Last ${state.shuttle?.name ?? 'shuttle'}`;
    all.push({ label, atMs: shuttle.lastMs, chance: shuttle.chanceLast, binds: false });
  }
  all.sort((a, b) => a.chance - b.chance || a.atMs - b.atMs);
  const first = all.find((b) => b.chance > 0);
  if (first !== undefined) first.binds = all.length > 1;
  return all;
}

/** `Last boat 21:15: 3 in 4, it binds.` */
export function boundWords(
  state: TripState,
  { label, atMs, chance }: Pick<Bound, 'label' | 'atMs' | 'chance'>,
  binds: boolean,
  nowMs: number,
  target = '',
): string {
  const at = dayClock(state.zone, atMs, nowMs);
  return `${label} ${at}${target}: ${oddsWords(chance)}${binds ? ', it binds' : ''}.`;
}

/** What the first line names of all bounds: the first that is lost, and the one that binds. */
export function leading(all: readonly Bound[]): Bound[] {
  const lost = all.find((b) => b.chance === 0);
  const open = all.find((b) => b.chance > 0);
  return [lost, open].filter((b) => b !== undefined);
}

/** The answer that leads: top-out, or the trailhead from the top on, and the cutoff that binds. */
export function headline(
  state: TripState,
  forecast: Pick<Forecast, 'topout' | 'trailhead' | 'cutoffs' | 'shuttle'>,
  nowMs: number,
): string {
  if (state.phase === 'down' || state.phase === 'closed') return modeWords(state, nowMs);
  if (modeOf(state, nowMs).is === 'retreating') return 'Coming down: no top-out is projected.';
  const where =
    state.phase === 'descending'
      ? `On top. Trailhead ${spanWords(state, forecast.trailhead, nowMs)}.`
      : `Top-out ${spanWords(state, forecast.topout, nowMs)}.`;
  const named = leading(bounds(state, forecast));
  return [where, ...named.map((b) => boundWords(state, b, b.binds, nowMs))].join(' ');
}

/** Below this a chance isn't worth a line. */
const WORTH_SAYING = 0.05;

/** `A night on the wall from here: 3 in 4; nowhere to lie down: 1 in 10.` */
export function nightWords({
  nights,
  exposedNight,
}: Pick<Forecast, 'nights' | 'exposedNight'>): string | undefined {
  const any = 1 - (nights[0] ?? 1);
  if (any < WORTH_SAYING) return undefined;
  const most = nights.findLastIndex((chance) => chance >= WORTH_SAYING);
  const more = most > 1 ? `; up to ${most} nights are possible` : '';
  const bare =
    exposedNight < WORTH_SAYING ? '' : `; nowhere to lie down: ${oddsWords(exposedNight)}`;
  return `A night on the wall from here: ${oddsWords(any)}${more}${bare}.`;
}

export function present<T extends Line>(lines: readonly (T | undefined)[]): T[] {
  return lines.filter((line): line is T => line !== undefined);
}
