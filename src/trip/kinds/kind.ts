import { z } from 'zod';
import type { FactHead } from '../fact.ts';
import type { TripState } from '../state.ts';

/**
 * One kind of fact. Each kind answers every question about itself here, so that nobody else needs to
 * know it by name.
 */
export interface Kind<D> {
  /**
   * `told`: the plan and the people, folded in the order of telling. `happened`: what took place on
   * the wall, folded by when it happened. The plan goes first, so that a party that sets its trip up
   * late still gets its morning's pitches in.
   */
  order: 'told' | 'happened';
  /** Shows that the party was well when it happened: a sign of life to the watch. */
  alive: boolean;
  /**
   * Whether a later post may take it out. `frames`: it opens or ends the trip. `told`: people were
   * told of it, and that can't be unsaid.
   */
  strike: 'may' | 'frames' | 'told';
  /** Its words in the log are for the roster only. */
  private: boolean;
  /** Has room in a full record too, so that a record never locks a party or its watch out. */
  vital: boolean;
  /**
   * The same word by the same person within ten minutes is left out of the record: always, or once the
   * record is full. So what is vital has room for ever.
   */
  repeat?: 'folds' | 'folds-when-full';
  /** Fields that an amendment may change, besides the time. */
  amendable?: readonly (keyof D & string)[];
  /** The shape of its data, as it is written now. */
  data: z.ZodType<D>;
  /** Reads an older release's data into today's shape. Must leave today's as it is. */
  upcast?(data: unknown): unknown;
  /** What it does to the state; left out where it does nothing but stand in the record. */
  fold?(state: TripState, fact: FactHead & { data: D }): void;
  /** A short phrase for the log: `pitch 5 done`. */
  say(data: D, state: TripState): string;
}

/** For a kind whose telling and time are all there is to it. */
export type NoData = Record<string, never>;
/** The shape of no data: an empty object. */
export const noData = z.strictObject({}) as unknown as z.ZodType<NoData>;
