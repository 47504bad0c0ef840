import type { Fact } from './fact.ts';
import { actOf } from './kinds/acts.ts';
import { kindOf } from './kinds/index.ts';
import type { Amendment } from './kinds/log.ts';
import type { LogEntry } from './state.ts';

/** A record after strikes and amendments were applied. */
export interface Effective {
  /** Every fact as it was told, with what later ones did to it; in order of telling. */
  entries: LogEntry[];
  /** What counts: unstruck, amended, in the order they are to be folded. */
  facts: Fact[];
}

interface Amending {
  seq: number;
  change: Omit<Amendment, 'target'>;
}

/**
 * Works out which posts stand and how they read after amendments. A strike or an amendment names an
 * earlier post. So going from the newest to the oldest meets every strike before its target. A struck
 * strike or amendment has no effect, so a strike can be undone by a strike.
 */
export function effective(history: readonly Fact[]): Effective {
  const bySeq = [...history].sort((a, b) => a.seq - b.seq);
  const struckBy = new Map<string, number>();
  const amendments = new Map<string, Amending[]>();
  for (const fact of bySeq.toReversed()) {
    if (struckBy.has(fact.id)) continue;
    const act = actOf(fact);
    if (act?.does === 'strike') struckBy.set(act.target, fact.seq);
    if (act?.does === 'amend') {
      const later = amendments.get(act.target) ?? [];
      amendments.set(act.target, [{ seq: fact.seq, change: act.change }, ...later]);
    }
  }
  const entries = bySeq.map((event): LogEntry => {
    const by = struckBy.get(event.id);
    const amendedBy = (amendments.get(event.id) ?? []).map((a) => a.seq);
    return by === undefined ? { event, amendedBy } : { event, struckBy: by, amendedBy };
  });
  const standing = bySeq
    .filter((fact) => !struckBy.has(fact.id))
    .map((fact) => amend(fact, amendments.get(fact.id) ?? []));
  return { entries, facts: inFoldOrder(standing) };
}

/** An amendment names only fields that its target's kind lets be amended, so the shape stays. */
function amend(fact: Fact, amendments: readonly Amending[]): Fact {
  let { atMs } = fact;
  let data: object = fact.data;
  for (const { change } of amendments) {
    const { atMs: moved, ...fields } = change;
    atMs = moved ?? atMs;
    data = { ...data, ...fields };
    // Whoever names the time knows it.
    if (moved !== undefined && 'timeUnknown' in data) {
      const { timeUnknown: _known, ...timed } = data;
      data = timed;
    }
  }
  return amendments.length === 0 ? fact : ({ ...fact, atMs, data } as Fact);
}

/** The plan in the order it was told; then the wall in the order it happened, ties as told. */
function inFoldOrder(facts: readonly Fact[]): Fact[] {
  const told = facts.filter((f) => kindOf(f.kind).order === 'told');
  const happened = facts.filter((f) => kindOf(f.kind).order === 'happened');
  return [...told, ...happened.sort(happenedBefore)];
}

/** For sorting what happened on the wall: by time, ties as told. */
export function happenedBefore(a: Fact, b: Fact): number {
  return a.atMs - b.atMs || a.seq - b.seq;
}
