/**
 * The store: a few async operations, each atomic. SQLite stands behind it now; another database may
 * later, shared by several machines. Nothing outside src/store knows tables or SQL.
 *
 * Promises: what `append` acknowledged survives a crash; `(trip, seq)` and `key` are unique; a trip's
 * deadlines are replaced in the same transaction as the events that moved them; a deadline's firing
 * and its notices are one transaction.
 */
import type { TripEvent } from '../trip/event.ts';

export interface TripRow {
  id: string;
  /** Channel it lives in; one open trip per channel. */
  channel: string;
  guild?: string;
  name: string;
  status: 'open' | 'closed' | 'purged';
  /** seq of its newest event, 0 when purged. */
  seq: number;
  openedAtMs: number;
}

/** Something that falls due at an instant. `key` is stable while it means the same thing. */
export interface DeadlineRow {
  trip: string;
  key: string;
  dueAtMs: number;
  /** JSON: what the watch needs to know to act on it. */
  data: unknown;
}

/** A notice waiting to be told to one person or channel. `key` is unique for ever: the same notice is never queued twice. */
export interface NewNotice {
  key: string;
  trip: string;
  /** Smaller goes first: 0 distress, 1 alert, 2 uncertainty, 3 due, 5 the rest. */
  urgency: number;
  dueAtMs: number;
  /** After this it is no longer worth telling. */
  expiresAtMs?: number;
  /** JSON: to whom, by which ways in order, what it says. */
  data: unknown;
}

export type NoticeStatus = 'pending' | 'sent' | 'failed' | 'cancelled' | 'expired';

export interface NoticeRow extends NewNotice {
  /** Stable for the row, at most 25 characters: the chat's nonce. */
  nonce: string;
  status: NoticeStatus;
  attempts: number;
  nextTryAtMs: number;
  lastError?: string;
  sentAtMs?: number;
  /** Where it went: message id, mail id. */
  receipt?: string;
}

export interface Append {
  trip: string;
  /** seq of the newest event the decision was made on; events get the numbers after it. */
  afterSeq: number;
  /** The interaction's id; a second append with it changes nothing and returns the first answer. */
  key: string;
  events: readonly Omit<TripEvent, 'seq'>[];
  /** Given again on a repeated delivery. JSON. */
  answer: unknown;
  /** Who may act on the trip from now on, for finding a person's trips; replaces the list. */
  members: readonly string[];
  status: 'open' | 'closed';
  name: string;
  /** Replaces the trip's deadlines; a key that stays keeps whether it has fired. */
  deadlines: readonly Omit<DeadlineRow, 'trip'>[];
  notices: readonly NewNotice[];
  /** Keys of pending notices that no longer hold. */
  cancelNotices?: readonly string[];
}

export type AppendResult =
  | { ok: true; seq: number }
  | { ok: false; why: 'conflict' }
  | { ok: false; why: 'repeated'; answer: unknown }
  | { ok: false; why: 'channel-taken'; trip: string }
  | { ok: false; why: 'no-trip' };

/** What came of one attempt to deliver a notice. */
export interface Delivery {
  key: string;
  atMs: number;
  outcome:
    | { status: 'sent'; receipt?: string }
    | { status: 'pending'; nextTryAtMs: number; error: string; data?: unknown }
    | { status: 'failed' | 'cancelled' | 'expired'; error: string };
}

/** Recurrent facts that are not events: where the board's message is, when commands were registered. */
export interface Store {
  /** Opens a trip with its first events; `channel-taken` when the channel has an open one. */
  openTrip(
    row: Pick<TripRow, 'id' | 'channel' | 'guild' | 'openedAtMs'>,
    append: Omit<Append, 'trip' | 'afterSeq'>,
  ): Promise<AppendResult>;
  append(append: Append): Promise<AppendResult>;
  /** The stored answer of an interaction, if it changed something before. */
  answered(key: string): Promise<{ answer: unknown } | undefined>;

  openTripIn(channel: string): Promise<TripRow | undefined>;
  trip(id: string): Promise<TripRow | undefined>;
  /** Open trips on which this user may act, newest first. */
  openTripsOf(userId: string): Promise<TripRow[]>;
  /** The last trip of a channel whatever its status, for `/log` and `/trip purge` after closing. */
  lastTripIn(channel: string): Promise<TripRow | undefined>;
  events(trip: string): Promise<TripEvent[]>;
  /** Removes every row of the trip and its answers, so that the bytes are gone from the file too; a row `purged` with no personal data stays. */
  purge(trip: string, atMs: number): Promise<void>;

  /** Unfired deadlines that are due, oldest first, at most `limit`; ordered by (dueAtMs, trip, key). */
  due(nowMs: number, limit: number): Promise<DeadlineRow[]>;
  /** Earliest unfired deadline, for sleeping until then. */
  nextDue(): Promise<number | undefined>;
  /**
   * Marks deadlines of one trip fired and queues their notices in one transaction, with events if
   * any (then `afterSeq` must still be the newest). `already` when another process was first.
   */
  fire(fire: {
    trip: string;
    keys: readonly string[];
    atMs: number;
    notices: readonly NewNotice[];
    append?: Append;
  }): Promise<'fired' | 'already' | 'conflict'>;
  /** Pending notices to try now, by (urgency, dueAtMs), leased to `owner` until `leaseUntilMs`. */
  claimNotices(claim: {
    nowMs: number;
    owner: string;
    leaseUntilMs: number;
    limit: number;
  }): Promise<NoticeRow[]>;
  recordDeliveries(deliveries: readonly Delivery[]): Promise<void>;
  notices(trip: string): Promise<NoticeRow[]>;
  nextNoticeAt(): Promise<number | undefined>;
  /** Leases of an owner that is gone are given back; called at start. */
  releaseLeases(owner: string): Promise<number>;

  /** Small named facts (board message ids, hash of the registered commands, the loop's last tick). */
  getFact(name: string): Promise<string | undefined>;
  setFact(name: string, value: string | undefined): Promise<void>;

  /** Proves that it can be written; rejects otherwise. */
  check(nowMs: number): Promise<void>;
  backup(path: string): Promise<void>;
  close(): Promise<void>;
}

/** Why the store refused to open or to write, with a way out. `userText` is fit for a terminal or a log. */
export class StoreError extends Error {
  readonly code:
    | 'STORE_NEWER'
    | 'STORE_CORRUPT'
    | 'STORE_READ_ONLY'
    | 'STORE_FULL'
    | 'STORE_BUSY'
    | 'STORE_NOT_OURS'
    | 'STORE_NOT_DURABLE';
  constructor(code: StoreError['code'], message: string, options?: ErrorOptions) {
    super(message, options);
    this.name = 'StoreError';
    this.code = code;
  }
}
