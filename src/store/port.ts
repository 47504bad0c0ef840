/**
 * The store: a few async operations, each atomic. SQLite stands behind it now; another database may
 * later, shared by several machines. Nothing outside src/store knows tables or SQL.
 *
 * Promises: what `append` acknowledged survives a crash; `(trip, seq)` and `key` are unique; a trip's
 * deadlines are replaced in the same transaction as the events that moved them; a deadline's firing
 * and its notices are one transaction.
 */
import type { RawFact } from '../trip/fact.ts';
import type { SealedFact } from './seal.ts';

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
  /** Held in memory only, because nothing can be written. */
  unwritten?: true;
}

export interface Append {
  trip: string;
  /** seq of the newest event the decision was made on; events get the numbers after it. */
  afterSeq: number;
  /** The interaction's id; a second append with it changes nothing and returns the first answer. */
  key: string;
  events: readonly Omit<RawFact, 'seq'>[];
  /** Given again on a repeated delivery. JSON. */
  answer: unknown;
  /** Who may act on the trip from now on, for finding a person's trips; replaces the list. */
  members: readonly string[];
  status: 'open' | 'closed';
  name: string;
  /**
   * Replaces the trip's deadlines. A key that stays with the same due time keeps whether it has
   * fired; with another due time it is armed again. Times are rounded to whole milliseconds.
   */
  deadlines: readonly Omit<DeadlineRow, 'trip'>[];
  notices: readonly NewNotice[];
  /**
   * Entries whose content is erased, with what stands there instead; their seals stay without salt. The trip's
   * answers and the notices that are done with go too, so that the bytes are gone from the file.
   */
  redact?: readonly Redaction[];
  /** Keys of this trip's pending notices that no longer hold; cancelled before new ones are queued. */
  cancelNotices?: readonly string[];
}

/** What stands in place of an entry's erased content. */
export interface Redaction extends Pick<RawFact, 'by' | 'data'> {
  seq: number;
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
    /** Handed back untried: only its lease ends. */
    | { status: 'untried' }
    | { status: 'failed' | 'cancelled' | 'expired'; error: string };
}

/**
 * Every operation may reject with a StoreError; then nothing of it was stored, except that after
 * STORE_IO it may have been: ask again with the same key. A trip that is missing is no error.
 */
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
  /**
   * Closed trips of a server (undefined: of none, the local channel or direct messages) on which this user may act,
   * newest first, at most `limit`.
   */
  closedTripsOf(userId: string, guild: string | undefined, limit: number): Promise<TripRow[]>;
  /** The last trip of a channel whatever its status, for `/log` and `/trip purge` after closing. */
  lastTripIn(channel: string): Promise<TripRow | undefined>;
  /** A trip's facts in order, those after `afterSeq` where it is given; whoever reads them checks them. */
  events(trip: string, afterSeq?: number): Promise<RawFact[]>;
  /** A trip's facts as they are stored, each with the seal that binds it to those before it. */
  sealed(trip: string): Promise<SealedFact[]>;
  /** All open trips, oldest first. */
  openTrips(): Promise<TripRow[]>;
  /**
   * Removes every row of the trip, its answers, and the facts named `…:TRIP`, so that the bytes are
   * gone from the file too; a row `purged` with no name, channel or server stays. May be asked
   * again, after a STORE_BUSY too. Backups and copies made before a migration keep what they hold:
   * they are the operator's to remove.
   */
  purge(trip: string, atMs: number): Promise<void>;

  /** Unfired deadlines that are due, oldest first, at most `limit`; ordered by (dueAtMs, trip, key). */
  due(nowMs: number, limit: number): Promise<DeadlineRow[]>;
  /** A trip's deadlines that have fired and still stand. */
  rung(trip: string): Promise<DeadlineRow[]>;
  /** Earliest unfired deadline, for sleeping until then. */
  nextDue(): Promise<number | undefined>;
  /**
   * Marks deadlines of one trip fired and queues their notices in one transaction, with events if
   * any. All or nothing: `already` when another process was first with one of them, or when one was
   * removed or moved beyond `atMs` since; `conflict` when the trip has newer events than `afterSeq`
   * (the fire's own, if given, or its append's).
   */
  fire(fire: {
    trip: string;
    keys: readonly string[];
    atMs: number;
    notices: readonly NewNotice[];
    /** seq the notices were worded from; leave it out when a newer event wouldn't change them. */
    afterSeq?: number;
    append?: Append;
  }): Promise<'fired' | 'already' | 'conflict'>;
  /**
   * Pending notices to try now, by (urgency, dueAtMs), leased to `owner` until `leaseUntilMs`.
   * Those past `expiresAtMs` come too: whoever delivers records them as expired, aloud. `take` is
   * asked about each in that order and says whether there is room for it; without it all are taken.
   */
  claimNotices(claim: {
    nowMs: number;
    owner: string;
    leaseUntilMs: number;
    limit: number;
    take?(row: NoticeRow): boolean;
  }): Promise<NoticeRow[]>;
  /** What `claimNotices` could take by then, in the same order, without taking it: for when nothing can be written. */
  readyNotices(nowMs: number): Promise<NoticeRow[]>;
  /**
   * Ends the lease of each. `sent` holds whatever was recorded before (a notice cancelled while it
   * was on its way was sent all the same); any other outcome changes pending notices only. Unknown
   * keys (purged since) are passed over.
   */
  recordDeliveries(deliveries: readonly Delivery[]): Promise<void>;
  notices(trip: string): Promise<NoticeRow[]>;
  /** Earliest moment at which a pending notice is ready to be claimed; may lie in the past. */
  nextNoticeAt(): Promise<number | undefined>;
  /** Leases of an owner that is gone are given back; called at start. */
  releaseLeases(owner: string): Promise<number>;

  /** Small named facts (board message ids, hash of the registered commands, the loop's last tick). */
  getFact(name: string): Promise<string | undefined>;
  setFact(name: string, value: string | undefined): Promise<void>;

  /** Proves that it can be written, and that what is written can be found again; rejects otherwise. */
  check(nowMs: number): Promise<void>;
  /** A whole, checked copy at `path`, while writing goes on. Replaces a file that is there. */
  backup(path: string): Promise<void>;
  /** Finishes what was asked before, then refuses with STORE_CLOSED. */
  close(): Promise<void>;
}

/** Why the store refused to open or to write, with a way out. The message is fit for a terminal or a log. */
export class StoreError extends Error {
  readonly code:
    | 'STORE_NEWER'
    | 'STORE_CORRUPT'
    | 'STORE_READ_ONLY'
    | 'STORE_FULL'
    | 'STORE_BUSY'
    | 'STORE_NOT_OURS'
    | 'STORE_NOT_DURABLE'
    /** The folder is missing, the path is a folder, or it may not be entered. */
    | 'STORE_UNREACHABLE'
    /** The disk reported an error. */
    | 'STORE_IO'
    /** The file was moved, removed, replaced or emptied while it was open. */
    | 'STORE_MOVED'
    | 'STORE_CLOSED';
  constructor(code: StoreError['code'], message: string, options?: ErrorOptions) {
    super(message, options);
    this.name = 'StoreError';
    this.code = code;
  }
}
