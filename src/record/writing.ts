import type { DeadlineRow, NewNotice, TripRow } from '../store/port.ts';
import type { Author, Draft, Fact, RawFact } from '../trip/fact.ts';
import type { Folded } from '../trip/fold.ts';
import type { No } from '../trip/rules/no.ts';
import type { TripState } from '../trip/state.ts';

/** A trip as it stands: its row in the store, its facts and the state they fold to. */
export interface Loaded extends Folded {
  row: TripRow;
}

/** A change about to be stored. `before` is undefined for the opening of a trip. */
export interface Change {
  before: TripState | undefined;
  after: TripState;
  events: readonly Fact[];
  nowMs: number;
}

/** A change of a trip that is there. */
export type LaterChange = Change & { before: TripState };

/** What follows from a change and is stored with it, in the same transaction. */
export interface Derived {
  deadlines: readonly Omit<DeadlineRow, 'trip'>[];
  notices: readonly NewNotice[];
  cancelNotices?: readonly string[];
}

/** Something to be written into a trip's record. */
export interface Writing {
  trip: string;
  /** Key of the change: a second one with the same key changes nothing. May be made of the state. */
  key: string | ((loaded: Loaded) => string);
  nowMs: number;
  by: Author;
  /** What is to be recorded, from the trip as it is now; asked anew after a lost race. */
  decide(loaded: Loaded): readonly Draft[] | Promise<readonly Draft[]>;
  /** The answer, stored with the change and given again on a repeated delivery. JSON. */
  answer?(change: LaterChange): unknown;
  /** What follows from it; the same as of every change when left out. */
  derive?(change: LaterChange): Derived;
  /** False for the watch: no alarm waits until a change that was asked for before is decided. */
  waits?: false;
  /** Deadlines that have rung and are done with when this is stored. */
  rung?: readonly string[];
}

/** What became of a change. */
export type Written =
  | {
      outcome: 'written';
      before: TripState;
      after: TripState;
      events: readonly Fact[];
      answer: unknown;
    }
  /** There was nothing to record. */
  | { outcome: 'nothing'; before: TripState; answer: unknown }
  /** Recorded before, with this answer. */
  | { outcome: 'repeated'; answer: unknown }
  | { outcome: 'refused'; no: No; loaded: Loaded }
  /** The trip was erased, or another process was first with the deadlines. */
  | { outcome: 'gone' };

/** A trip to be opened. */
export interface Opening {
  row: Pick<TripRow, 'id' | 'channel' | 'guild' | 'openedAtMs'>;
  key: string;
  by: Author;
  /** Drafts, or an imported record, which keeps its own numbers, ids and people. */
  first: readonly Draft[] | readonly RawFact[];
  answer(after: TripState): unknown;
}

/** What became of an opening. */
export type Opened =
  | { outcome: 'opened'; answer: unknown }
  | { outcome: 'repeated'; answer: unknown }
  | { outcome: 'refused'; no: No }
  | { outcome: 'channel-taken'; trip: string };
