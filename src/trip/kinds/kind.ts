import { z } from 'zod';
import type { TripEvent } from '../event.ts';
import type { TripState } from '../state.ts';

/** One kind of event: the shape of its data, what it does to the state, and how the log words it. */
export interface Kind<D = unknown> {
  /**
   * `told`: the plan and the people, folded in the order of telling. `happened`: what took place on
   * the wall, folded by when it happened. The plan goes first, so that a party that sets its trip up
   * late still gets its morning's pitches in.
   */
  order: 'told' | 'happened';
  data: z.ZodType<D>;
  fold(state: TripState, event: TripEvent<string, D>): void;
  /** A short phrase for the log: `pitch 5 done`. */
  say(data: D, state: TripState): string;
  /** Data fields that /pitch amend may change, besides the time. */
  amendable?: readonly string[];
  /** Shows that the party was well when it happened: a sign of life to the watch. */
  alive?: true;
}

/** Keeps the data type of one kind while the registry holds them all alike. */
export function kind<D>(def: Kind<D>): Kind {
  return def as unknown as Kind;
}

/** For a kind whose telling and time are all there is to it. */
export type NoData = Record<string, never>;
export const noData = z.strictObject({}) as unknown as z.ZodType<NoData>;
