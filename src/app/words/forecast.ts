import { modeWords } from '../../alarm/words/mode.ts';
import type { CutoffTarget, Forecast, Quantiles } from '../../forecast/model.ts';
import type { Line } from '../../say/reply.ts';
import { dayClock } from '../../time/format.ts';
import { modeOf } from '../../trip/mode.ts';
import type { TripState } from '../../trip/state.ts';
import { oddsWords, riskWords } from './odds.ts';

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
  /** What must have happened by then, as it is said: `On top`; left out where the label says it, as of a shuttle to catch. */
  what?: string;
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
    const caught = told === undefined || (told.kind === 'shuttle' && told.target === 'trailhead');
    const what = caught ? undefined : reached(told.target);
    return {
      id,
      label,
      atMs: told?.atMs ?? atMs,
      chance,
      binds: false,
      ...(what === undefined ? {} : { what }),
    };
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

function reached(target: CutoffTarget): string {
  if (typeof target === 'object') return `Pitch ${target.pitch} done`;
  return { topout: 'On top', down: 'Everyone down', trailhead: 'At the trailhead' }[target];
}

/** Labels of our own, which stand inside a sentence; a party's own stays as it is written. */
const OWN_LABELS = ['Dark', 'Permit', 'Weather', 'Own time'];

/** `Last boat 21:15`, `On top before dark 22:50`: what a chance is the chance of. */
export function boundName(
  state: TripState,
  { label, what, atMs }: Pick<Bound, 'label' | 'what' | 'atMs'>,
  nowMs: number,
): string {
  const at = dayClock(state.zone, atMs, nowMs);
  if (what === undefined) return `${label} ${at}`;
  return `${what} before ${OWN_LABELS.includes(label) ? label.toLowerCase() : label} ${at}`;
}

/** `Last boat 21:15: 3 in 4, the tightest.` */
export function boundWords(
  state: TripState,
  bound: Pick<Bound, 'label' | 'what' | 'atMs' | 'chance'>,
  binds: boolean,
  nowMs: number,
): string {
  const odds = oddsWords(bound.chance, state);
  return `${boundName(state, bound, nowMs)}: ${odds}${binds ? ', the tightest' : ''}.`;
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
    exposedNight < WORTH_SAYING ? '' : `; nowhere to lie down: ${riskWords(exposedNight)}`;
  return `A night on the wall from here: ${riskWords(any)}${more}${bare}.`;
}

export function present<T extends Line>(lines: readonly (T | undefined)[]): T[] {
  return lines.filter((line): line is T => line !== undefined);
}
