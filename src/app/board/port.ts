import type { Reply } from '../../say/reply.ts';

/** Where the pinned message stands. */
export interface BoardPlace {
  channel: string;
  message: string;
}

/** Why a board could not be shown, in a word for the log and for what is said about it. */
export type BoardTrouble =
  /** The message was deleted. */
  | 'gone'
  /** The channel can't be seen, or is gone. */
  | 'no-access'
  /** A permission is missing for what was asked. */
  | 'no-permission'
  | 'pins-full'
  /** The thread is archived or locked. */
  | 'archived'
  /** It may work by itself later. */
  | 'later'
  | 'refused';

export type BoardOutcome<T> = { ok: true; value: T } | { ok: false; why: BoardTrouble };

export interface BoardMessage {
  reply: Reply;
  /** Its buttons act on this trip. */
  trip: string;
  nowMs: number;
}

/** One message that is posted, then changed in place. Nothing here throws on what a chat does. */
export interface BoardChannel {
  /** `nonce`: at most 25 characters; the same for a second attempt, which then shows nothing twice. */
  post(channel: string, message: BoardMessage, nonce: string): Promise<BoardOutcome<BoardPlace>>;
  edit(place: BoardPlace, message: BoardMessage): Promise<BoardOutcome<BoardPlace>>;
  pin(place: BoardPlace): Promise<BoardOutcome<true>>;
  remove(place: BoardPlace): Promise<BoardOutcome<true>>;
}

/** What came of showing a board, for whoever asked. */
export interface BoardResult {
  shown: boolean;
  pinned: boolean;
  /** The picture had to be left out. */
  bare: boolean;
  why?: BoardTrouble;
}

/** Keeps the boards of all trips up to date. */
export interface Boards {
  /** After a change of the trip; returns at once. */
  touch(trip: string): void;
  /** Makes the board when there is none, brings it up to date, pins it. */
  show(trip: string): Promise<BoardResult>;
  /** Takes the message away for good; false when it may still be there. */
  remove(trip: string): Promise<boolean>;
}
