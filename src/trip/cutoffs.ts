import { LIMITS } from '../limits.ts';
import type { Cutoff } from './kinds/cutoff.ts';
import { toppedOutMs } from './mode.ts';
import { pitchAt, type TripState } from './state.ts';

/** What has become of a cutoff: still open, or decided, with the time its target was reached. */
export type CutoffOutcome = { is: 'open' } | { is: 'met' | 'missed'; reachedMs?: number };

/**
 * Whether a cutoff still binds. It is decided when what it asks for has happened, in time or not, and
 * when its time has passed without.
 */
export function outcomeOf(state: TripState, cutoff: Cutoff, nowMs: number): CutoffOutcome {
  const reachedMs = reachedAt(state, cutoff.target);
  if (reachedMs !== undefined) {
    return { is: reachedMs <= cutoff.atMs ? 'met' : 'missed', reachedMs };
  }
  return cutoff.atMs < nowMs ? { is: 'missed' } : { is: 'open' };
}

/**
 * Cutoffs that still bind, in order of telling: the soonest, where a record of an older release or one whose
 * removals were struck has more than a trip may have.
 */
export function openCutoffs(state: TripState, nowMs: number): Cutoff[] {
  const open = state.cutoffs.filter((c) => outcomeOf(state, c, nowMs).is === 'open');
  if (open.length <= LIMITS.cutoffs) return open;
  const soonest = new Set(open.toSorted((a, b) => a.atMs - b.atMs).slice(0, LIMITS.cutoffs));
  return open.filter((c) => soonest.has(c));
}

/** When the target was reached, as told; undefined while it wasn't. */
export function reachedAt(state: TripState, target: Cutoff['target']): number | undefined {
  if (typeof target === 'object') return pitchAt(state, target.pitch)?.done?.atMs;
  if (target === 'topout') return toppedOutMs(state);
  return state.downAtMs;
}
