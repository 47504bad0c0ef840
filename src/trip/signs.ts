import { happenedBefore } from './effective.ts';
import type { Fact } from './fact.ts';
import { kindOf } from './kinds/index.ts';
import { spokenOf } from './parts.ts';
import type { TripState } from './state.ts';
import type { Sign } from './watch-state.ts';

/** The sign of life that a post is; undefined for a post that shows nobody to be well. */
function signOf(state: TripState, fact: Fact): Sign | undefined {
  if (!kindOf(fact.kind).alive) return undefined;
  const { atMs, recordedAtMs, seq, by } = fact;
  const who = spokenOf(state, fact);
  return { atMs, recordedAtMs, seq, by, fact, ...(who === undefined ? {} : { who }) };
}

/**
 * The signs of a state, by time of happening.
 *
 * @param before the state it was folded on, if any
 * @param fresh what was told since, in any order
 */
export function signsOf(
  state: TripState,
  before: TripState | undefined,
  fresh: readonly Fact[],
): Sign[] {
  const earlier = before?.watch.signs ?? [];
  // Of a party in parts, whom a post speaks of may change with whatever is told.
  const inParts = state.splits.length > 0 || (before?.splits.length ?? 0) > 0;
  const known = inParts ? earlier.flatMap((s) => signOf(state, s.fact) ?? []) : earlier;
  const added = fresh.flatMap((fact) => signOf(state, fact) ?? []);
  if (added.length === 0) return [...known];
  const [last, first] = [known.at(-1), added[0]];
  const all = [...known, ...added];
  const isSorted =
    added.length === 1 &&
    (last === undefined || first === undefined || happenedBefore(last.fact, first.fact) < 0);
  return isSorted ? all : all.sort((a, b) => happenedBefore(a.fact, b.fact));
}

/** A sign as the log words it: `pitch 5 done`. */
export function signWords(state: TripState, { fact }: Sign): string {
  return kindOf(fact.kind).say(fact.data, state);
}
