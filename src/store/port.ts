/**
 * The store: a few async operations, each atomic. Several processes may share what is behind it.
 * Nothing outside src/store knows tables or SQL; tests/store/contract/ holds every implementation to
 * what is said here.
 *
 * Promises: what `append` acknowledged survives a crash; `(trip, seq)` and `key` are unique; a trip's
 * deadlines are replaced in the same transaction as the events that moved them; a deadline's firing
 * and its notices are one transaction. What one store is asked to append to one trip is carried out
 * in the order of asking; nothing is promised of the order between trips, or between stores.
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
  /** Its id, where it may not be stored in the end: another event in its place is a conflict. */
  afterId?: string;
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

/** What is kept of a trip's board, a row of its own, so that two processes never overwrite each other's. */
export interface BoardRow {
  /** Boards posted so far: makes the nonce of the next, kept before it is sent. */
  posts: number;
  /** Where the message stands. */
  message?: { channel: string; message: string };
  pinned: boolean;
  /** Kept up to date, also after a restart. */
  wanted: boolean;
  /** By whom it was brought up to date last, when, and to which entry of the record. */
  shown?: { by: string; atMs: number; seq: number };
}

/** A share of the work, taken for a while. */
export interface Claim {
  nowMs: number;
  owner: string;
  leaseUntilMs: number;
  limit: number;
}

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
  /** All trips that aren't purged, closed ones too, oldest first. */
  trips(): Promise<TripRow[]>;
  /** Trips that keep something about this user: who is or was on them, or told something; newest first. */
  tripsAbout(userId: string): Promise<TripRow[]>;
  /**
   * Removes every row of the trip, its answers, and the facts named `…:TRIP`, so that the bytes are gone from the file too; a row
   * `purged` with no name, channel or server stays. May be asked again, after a STORE_BUSY too. Bytes that can't be written over
   * now are logged, said by `check`, and tried again. Backups and copies made before a migration are the operator's to remove.
   */
  purge(trip: string, atMs: number): Promise<void>;

  /** Unfired deadlines that are due, oldest first, at most `limit`; ordered by (dueAtMs, trip, key). */
  due(nowMs: number, limit: number): Promise<DeadlineRow[]>;
  /**
   * The same, but only those that nobody else holds, leased to `owner` until `leaseUntilMs`. What
   * an owner holds already it is given again, so a deadline that could not be handled comes back.
   * An append to its trip ends the lease.
   */
  claimDue(claim: Claim): Promise<DeadlineRow[]>;
  /** A trip's deadlines that have fired and still stand. */
  rung(trip: string): Promise<DeadlineRow[]>;
  /**
   * Earliest moment at which an unfired deadline is there to be claimed; may lie in the past. What `owner` holds is there at its
   * due time, what others hold when their lease ends.
   */
  nextDue(owner?: string): Promise<number | undefined>;
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
   * Pending notices to try now, by (urgency, dueAtMs), leased to `owner` until `leaseUntilMs`. Those past `expiresAtMs` come too: whoever
   * delivers records them as expired, aloud. `take` says of each in that order whether there is room for it; others may get some first.
   */
  claimNotices(
    claim: Claim & { take?(row: Pick<NoticeRow, 'key' | 'urgency'>): boolean },
  ): Promise<NoticeRow[]>;
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
  /** Gives back all that an owner has claimed and holds; resolves to how many notices. */
  releaseLeases(owner: string): Promise<number>;

  /**
   * Holds a name for a while, by the store's own clock, whatever the callers' say: true when nobody
   * else holds it. Asked again by the same owner it holds for `forMs` from now. Whoever holds it must
   * stop in time by itself: count from the moment of asking.
   */
  hold(name: string, owner: string, forMs: number): Promise<boolean>;
  /** Ends a hold early; nothing happens when somebody else has it. */
  letGo(name: string, owner: string): Promise<void>;
  /**
   * Gives back what owners have claimed and hold who are gone: those who have held `process:OWNER`
   * and no longer do. Resolves to their names.
   */
  releaseGone(): Promise<string[]>;

  /**
   * Calls `hear` with each trip that another store of the same database appends to or erases from now
   * on: at once or after some seconds, at least once. It must not throw. Ends when the result is called.
   */
  changes(hear: (trip: string) => void): Promise<() => Promise<void>>;

  board(trip: string): Promise<BoardRow | undefined>;
  setBoard(trip: string, board: BoardRow): Promise<void>;
  /** Trips whose boards are wanted, in no order. */
  wantedBoards(): Promise<string[]>;

  /** Small named facts (links, hash of the registered commands, the loop's last tick). */
  getFact(name: string): Promise<string | undefined>;
  setFact(name: string, value: string | undefined): Promise<void>;
  /** Sets a fact unless it has changed since it was read as `was`; false when it has. */
  swapFact(name: string, was: string | undefined, value: string | undefined): Promise<boolean>;

  /**
   * The secret of all processes that share the database from several machines: the one that is kept, or else `own`,
   * which is kept from then on. No copy holds it. Always `own` where the database is a file: its folder is shared then.
   */
  sharedSecret(own: string): Promise<string>;

  /** Proves that it can be written, and that what is written can be found again; else rejects. Resolves to what is amiss all the same. */
  check(nowMs: number): Promise<string | undefined>;
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
    | 'STORE_REWRITING'
    | 'STORE_CLOSED';
  constructor(code: StoreError['code'], message: string, options?: ErrorOptions) {
    super(message, options);
    this.name = 'StoreError';
    this.code = code;
  }
}
