import { wellFormed } from '../canonical.ts';
import type { Append, Delivery, NewNotice, Store } from '../port.ts';
import { fromEvent, fromNotice, toJson } from '../rows.ts';
import { hashedAround, type Seal, sealNext } from '../seal.ts';

type Fire = Parameters<Store['fire']>[0];

/**
 * Plain text as PostgreSQL can hold it: U+0000 and half surrogate pairs are no text there. In JSON they
 * are escaped and stay what they are.
 */
export function clean(text: string): string {
  return wellFormed(text.replaceAll('\0', '\u{FFFD}'));
}

/** A value for a function's argument of type jsonb. */
export function json(value: unknown): string {
  return JSON.stringify(value, (_, inner) => (typeof inner === 'string' ? clean(inner) : inner));
}

/** As `append_to_trip` takes it. `seals`: of its entries, where they are worked out already. */
export function fromAppend(append: Append, seals: readonly Seal[] = []): Record<string, unknown> {
  const { trip, afterSeq } = append;
  return {
    trip,
    after_seq: afterSeq,
    after_id: append.afterId === undefined ? null : clean(append.afterId),
    key: append.key,
    status: append.status,
    name: append.name,
    answer: toJson(append.answer),
    events: append.events.map((event, i) => fromSealed(event, trip, afterSeq + 1 + i, seals[i])),
    redact:
      append.redact?.map(({ seq, by, data }) => ({
        seq,
        by_id: by.id,
        by_name: by.name,
        data: toJson(data),
      })) ?? null,
    members: append.members,
    deadlines: append.deadlines.map((d) => ({
      key: d.key,
      due_at_ms: Math.round(d.dueAtMs),
      data: toJson(d.data),
    })),
    cancel: append.cancelNotices ?? [],
    notices: fromNotices(append.notices),
  };
}

type Told = Append['events'][number];

/** An entry whose text is what will be stored of it: that is what is sealed. */
export function cleanEvent(event: Told): Told {
  const { id, name } = event.by;
  return {
    ...event,
    id: clean(event.id),
    kind: clean(event.kind),
    by: { id: clean(id), name: clean(name) },
    ...(event.typed === undefined ? {} : { typed: clean(event.typed) }),
  };
}

/** Sealed but for its hash, which is made where the entry before is known. */
function fromSealed(event: Told, trip: string, seq: number, sealed: Seal | undefined) {
  const told = cleanEvent(event);
  const seal = sealed ?? sealNext({ ...told, seq }, '');
  const { hash: _, ...row } = fromEvent(told, trip, seq, seal);
  return { ...row, ...hashedAround({ ...told, seq }, row.content) };
}

/** As `fire_deadlines` takes it. */
export function fromFire(fire: Fire): Record<string, unknown> {
  return {
    trip: fire.trip,
    keys: [...new Set(fire.keys)],
    at_ms: Math.floor(fire.atMs),
    after_seq: fire.afterSeq ?? null,
    append: fire.append === undefined ? null : fromAppend(fire.append),
    notices: fromNotices(fire.notices),
  };
}

/** As `record_deliveries` takes it. */
export function fromDelivery({ key, atMs, outcome }: Delivery): Record<string, unknown> {
  const base = { key, status: outcome.status, at_ms: Math.round(atMs) };
  switch (outcome.status) {
    case 'sent':
      return { ...base, receipt: outcome.receipt ?? null };
    case 'pending':
      return {
        ...base,
        next_try_at_ms: Math.round(outcome.nextTryAtMs),
        error: outcome.error,
        data: outcome.data === undefined ? null : toJson(outcome.data),
      };
    case 'untried':
      return base;
    default:
      return { ...base, error: outcome.error };
  }
}

function fromNotices(notices: readonly NewNotice[]): Record<string, unknown>[] {
  return notices.map(fromNotice);
}
