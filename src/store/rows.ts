import type { RawFact } from '../trip/fact.ts';
import { wellFormed } from './canonical.ts';
import { nonceOf } from './nonce.ts';
import type { BoardRow, DeadlineRow, NewNotice, NoticeRow, NoticeStatus, TripRow } from './port.ts';
import type { Seal, SealedFact } from './seal.ts';

export interface TripSql {
  id: string;
  channel: string;
  guild: string | null;
  name: string;
  status: TripRow['status'];
  seq: number;
  opened_at_ms: number;
}

export interface EventSql {
  trip: string;
  seq: number;
  id: string;
  kind: string;
  at_ms: number;
  recorded_at_ms: number;
  by_id: string;
  by_name: string;
  typed: string | null;
  data: string;
  /** Null where the content was erased, or nothing is sealed yet. */
  salt: string | null;
  content: string;
  hash: string;
}

export interface DeadlineSql {
  trip: string;
  key: string;
  due_at_ms: number;
  data: string;
}

export interface NoticeSql extends DeadlineSql {
  urgency: number;
  expires_at_ms: number | null;
  nonce: string;
  status: NoticeStatus;
  attempts: number;
  next_try_at_ms: number;
  last_error: string | null;
  sent_at_ms: number | null;
  receipt: string | null;
}

export interface BoardSql {
  trip: string;
  posts: number;
  channel: string | null;
  message: string | null;
  pinned: number;
  wanted: number;
  shown_by: string | null;
  shown_at_ms: number | null;
  shown_seq: number | null;
}

export function toBoard(row: BoardSql): BoardRow {
  const { posts, channel, message, shown_by: by, shown_at_ms: atMs, shown_seq: seq } = row;
  const board: BoardRow = { posts, pinned: row.pinned === 1, wanted: row.wanted === 1 };
  if (channel !== null && message !== null) board.message = { channel, message };
  if (by !== null && atMs !== null && seq !== null) board.shown = { by, atMs, seq };
  return board;
}

export function fromBoard(trip: string, board: BoardRow): BoardSql {
  return {
    trip,
    posts: board.posts,
    channel: board.message?.channel ?? null,
    message: board.message?.message ?? null,
    pinned: Number(board.pinned),
    wanted: Number(board.wanted),
    shown_by: board.shown?.by ?? null,
    shown_at_ms: board.shown === undefined ? null : Math.round(board.shown.atMs),
    shown_seq: board.shown?.seq ?? null,
  };
}

export function toTrip(row: TripSql): TripRow {
  const { id, channel, guild, name, status, seq } = row;
  const trip: TripRow = { id, channel, name, status, seq, openedAtMs: row.opened_at_ms };
  if (guild !== null) trip.guild = guild;
  return trip;
}

/**
 * JSON as it was stored. Text that a fault of the disk made unreadable comes as it is: one bad row must
 * not hide the others, and whoever takes the data checks its shape.
 */
function parsed(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return text;
  }
}

export function toEvent(row: EventSql): RawFact {
  const event: RawFact = {
    trip: row.trip,
    seq: row.seq,
    id: row.id,
    kind: row.kind,
    atMs: row.at_ms,
    recordedAtMs: row.recorded_at_ms,
    by: { id: row.by_id, name: row.by_name },
    data: parsed(row.data),
  };
  if (row.typed !== null) event.typed = row.typed;
  return event;
}

export function toSealed(row: EventSql): SealedFact {
  const { salt, content, hash } = row;
  return { ...toEvent(row), seal: { ...(salt === null ? {} : { salt }), content, hash } };
}

/** An entry's row with its seal. */
export function fromEvent(
  event: Omit<RawFact, 'seq' | 'trip'>,
  trip: string,
  seq: number,
  seal: Seal,
): EventSql {
  return {
    trip,
    seq,
    // What SQLite would store of a lone surrogate isn't what was sealed.
    id: wellFormed(event.id),
    kind: wellFormed(event.kind),
    at_ms: Math.round(event.atMs),
    recorded_at_ms: Math.round(event.recordedAtMs),
    by_id: wellFormed(event.by.id),
    by_name: wellFormed(event.by.name),
    typed: event.typed === undefined ? null : wellFormed(event.typed),
    data: toJson(event.data),
    salt: seal.salt ?? null,
    content: seal.content,
    hash: seal.hash,
  };
}

export function toDeadline(row: DeadlineSql): DeadlineRow {
  return { trip: row.trip, key: row.key, dueAtMs: row.due_at_ms, data: parsed(row.data) };
}

export function toNotice(row: NoticeSql): NoticeRow {
  const notice: NoticeRow = {
    key: row.key,
    trip: row.trip,
    urgency: row.urgency,
    dueAtMs: row.due_at_ms,
    data: parsed(row.data),
    nonce: row.nonce,
    status: row.status,
    attempts: row.attempts,
    nextTryAtMs: row.next_try_at_ms,
  };
  if (row.expires_at_ms !== null) notice.expiresAtMs = row.expires_at_ms;
  if (row.last_error !== null) notice.lastError = row.last_error;
  if (row.sent_at_ms !== null) notice.sentAtMs = row.sent_at_ms;
  if (row.receipt !== null) notice.receipt = row.receipt;
  return notice;
}

export function fromNotice(notice: NewNotice): Record<string, string | number | null> {
  return {
    key: notice.key,
    trip: notice.trip,
    urgency: notice.urgency,
    due_at_ms: Math.round(notice.dueAtMs),
    expires_at_ms: notice.expiresAtMs === undefined ? null : Math.round(notice.expiresAtMs),
    data: toJson(notice.data),
    nonce: nonceOf(notice.key),
  };
}

/** JSON text of a value; a missing value is stored as null. */
export function toJson(value: unknown): string {
  return JSON.stringify(value) ?? 'null';
}
