/** What holds of every button, and of how trouble ends, in any history. */
import { unmet } from '../../../src/alarm/expectations.ts';
import { rankOf, toldOf } from '../../../src/alarm/ladder.ts';
import { planSeq } from '../../../src/alarm/weaker.ts';
import { mustStand } from '../../../src/app/bound.ts';
import { Refusal } from '../../../src/say/refusal.ts';
import { openTroubles } from '../../../src/trip/conditions.ts';
import type { Fact } from '../../../src/trip/fact.ts';
import type { TripState } from '../../../src/trip/state.ts';
import type { Raised } from '../../../src/trip/watch-state.ts';

export class Broken extends Error {}

/** Trouble ends by a word on how it is known, by being out, or by what takes the report itself back. */
export function troubleEndsRightly(
  before: TripState,
  after: TripState,
  facts: readonly Fact[],
): void {
  const left = new Set(openTroubles(after).map((t) => t.id));
  const gone = openTroubles(before).filter((t) => !left.has(t.id));
  const ends = /^(?:trouble\.over|party\.out|trip\.closed|log\.struck)$/u;
  if (gone.length > 0 && !facts.some((f) => ends.test(f.kind)))
    throw new Broken(`trouble ended by ${facts.map((f) => f.kind).join()}`);
}

/** A button that moves a time carries the plan's number: the same number is never another plan. */
export function onePlanANumber(state: TripState, plans: Map<number, string>): void {
  const { plan, nightly } = state.watch;
  const text = JSON.stringify([plan.topoutMs, plan.downMs, plan.calloutMs, nightly?.clock]);
  const seq = planSeq(state);
  const known = plans.get(seq) ?? text;
  if (known !== text) throw new Broken(`a button of ${known} would act on ${text}`);
  plans.set(seq, known);
}

/**
 * Whether what answers a step of an alarm still answers it, worked out from the rules alone: what it is about is
 * not heard, and nothing higher, nor anything as high and newer, was told to them and stands.
 */
export function answers(state: TripState, raised: Raised, who: string): boolean {
  const open = (r: Raised) => unmet(state).some((e) => e.key === r.root && e.dueMs === r.dueMs);
  const above = state.watch.raised.some(
    (r) =>
      open(r) &&
      toldOf(state, r).includes(who) &&
      (rankOf(r.phase) > rankOf(raised.phase) || (r.phase === raised.phase && r.seq > raised.seq)),
  );
  return open(raised) && !above;
}

/** Whether a button of a step is taken from somebody who was told of it: if and only if it still answers it. */
export function taken(state: TripState, raised: Raised, who: string, nowMs: number): boolean {
  const is = isTaken(state, raised.seq, who, nowMs);
  if (is !== answers(state, raised, who))
    throw new Broken(
      `a button of ${raised.phase} about ${raised.root} is ${is ? 'taken' : 'refused'}`,
    );
  return is;
}

function isTaken(state: TripState, seq: number, who: string, nowMs: number): boolean {
  try {
    mustStand(state, seq, who, nowMs);
    return true;
  } catch (error) {
    if (error instanceof Refusal) return false;
    throw error;
  }
}
