import type { TripEvent } from './event.ts';
import { kindOf } from './kinds/index.ts';
import type { Amendment } from './kinds/log.ts';
import type { LogEntry } from './state.ts';

export interface Effective {
  /** Every event as it was told, with what later ones did to it; in order of telling. */
  entries: LogEntry[];
  /** What counts: unstruck, amended, in the order they are to be folded. */
  events: TripEvent[];
}

/**
 * Works out which posts stand and how they read after amendments. A strike or an amendment names an
 * earlier post, so going from the newest to the oldest meets every strike before its target; a struck
 * strike (or amendment) has no effect, which makes striking undo exactly.
 */
export function effective(history: readonly TripEvent[]): Effective {
  const bySeq = [...history].sort((a, b) => a.seq - b.seq);
  const struckBy = new Map<string, number>();
  const amendments = new Map<string, TripEvent<string, Amendment>[]>();
  for (const event of bySeq.toReversed()) {
    if (struckBy.has(event.id)) continue;
    const { target } = (event.data ?? {}) as { target?: string };
    if (target === undefined) continue;
    if (event.kind === 'log.struck') struckBy.set(target, event.seq);
    if (event.kind === 'log.amended') {
      const list = amendments.get(target) ?? [];
      amendments.set(target, [event as TripEvent<string, Amendment>, ...list]);
    }
  }
  const entries = bySeq.map((event): LogEntry => {
    const by = struckBy.get(event.id);
    const amendedBy = (amendments.get(event.id) ?? []).map((a) => a.seq);
    return by === undefined ? { event, amendedBy } : { event, struckBy: by, amendedBy };
  });
  const standing = bySeq
    .filter((event) => !struckBy.has(event.id))
    .map((event) => amend(event, amendments.get(event.id) ?? []));
  return { entries, events: inFoldOrder(standing) };
}

function amend(event: TripEvent, amendments: readonly TripEvent<string, Amendment>[]): TripEvent {
  if (amendments.length === 0) return event;
  let { atMs } = event;
  const data: Record<string, unknown> = { ...(event.data as object) };
  for (const { data: change } of amendments) {
    const { target: _target, atMs: moved, ...fields } = change;
    atMs = moved ?? atMs;
    Object.assign(data, fields);
  }
  return { ...event, atMs, data };
}

/** The plan in the order it was told; then the wall in the order it happened, ties as told. */
function inFoldOrder(events: readonly TripEvent[]): TripEvent[] {
  const told = events.filter((e) => kindOf(e.kind)?.order === 'told');
  const happened = events.filter((e) => kindOf(e.kind)?.order === 'happened');
  return [...told, ...happened.sort((a, b) => a.atMs - b.atMs || a.seq - b.seq)];
}
