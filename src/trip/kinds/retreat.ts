import { z } from 'zod';
import { LIMITS } from '../../limits.ts';
import type { FactHead } from '../fact.ts';
import type { TripState } from '../state.ts';
import { type Kind, type NoData, noData } from './kind.ts';

const stance = z.int().min(0).max(LIMITS.pitches);

/** A way down from somewhere on the wall: since when, from where, over which stations. */
export interface Retreat {
  /** From the stance after this pitch; 0 is the ground. */
  fromPitch: number;
  sinceMs: number;
  seq: number;
  /** Each rappel done: the stance they were at then, 0 on the ground. */
  rappels: { station: number; atMs: number; seq: number }[];
  /** When they went climbing again. */
  stoppedMs?: number;
}

/** A retreat: begun, station by station, stopped. */
export const retreatKinds: {
  'retreat.began': Kind<{ pitch: number }>;
  'retreat.rappelled': Kind<{ station: number }>;
  'retreat.stopped': Kind<NoData>;
} = {
  'retreat.began': {
    order: 'happened',
    alive: true,
    strike: 'may',
    private: false,
    vital: true,
    data: z.strictObject({ pitch: stance }),
    fold(state, { seq, atMs, data }) {
      if (openRetreat(state) !== undefined) {
        state.clashes.push({ what: 'retreating-already', seq });
        return;
      }
      state.retreats.push({ fromPitch: data.pitch, sinceMs: atMs, seq, rappels: [] });
    },
    say: ({ pitch }) => `coming down from ${stanceWords(pitch)}`,
  },
  'retreat.rappelled': {
    order: 'happened',
    alive: true,
    strike: 'may',
    private: false,
    vital: true,
    data: z.strictObject({ station: stance }),
    fold(state, fact) {
      const { seq, atMs, data } = fact;
      const retreat = begun(state, fact);
      if (retreat === undefined) return;
      // A station between two stances keeps the lower one's number.
      if (data.station > stanceOf(retreat).pitch) {
        state.clashes.push({ what: 'rappel-up', seq, pitch: stanceOf(retreat).pitch });
        return;
      }
      retreat.rappels.push({ station: data.station, atMs, seq });
    },
    say: ({ station }) => `rappelled to ${stanceWords(station)}`,
  },
  'retreat.stopped': {
    order: 'happened',
    alive: true,
    strike: 'may',
    private: false,
    vital: true,
    data: noData,
    fold(state, fact) {
      const retreat = begun(state, fact);
      if (retreat !== undefined) retreat.stoppedMs = fact.atMs;
    },
    say: () => 'climbing on, no retreat',
  },
};

/** The retreat that nobody has stopped; undefined when there is none. */
export function openRetreat(state: TripState): Retreat | undefined {
  const last = state.retreats.at(-1);
  return last?.stoppedMs === undefined ? last : undefined;
}

function begun(state: TripState, { seq }: FactHead): Retreat | undefined {
  const open = openRetreat(state);
  if (open === undefined) state.clashes.push({ what: 'not-retreating', seq });
  return open;
}

/** The lowest stance told of a retreat, and when. */
export function stanceOf({ fromPitch, sinceMs, rappels }: Retreat): {
  pitch: number;
  atMs: number;
} {
  const last = rappels.at(-1);
  return last === undefined
    ? { pitch: fromPitch, atMs: sinceMs }
    : { pitch: last.station, atMs: last.atMs };
}

/** `the stance after pitch 5`; 0 is the ground. */
export function stanceWords(pitch: number): string {
  return pitch === 0 ? 'the ground' : `the stance after pitch ${pitch}`;
}
