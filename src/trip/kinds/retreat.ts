import { z } from 'zod';
import { LIMITS } from '../../limits.ts';
import type { FactHead } from '../fact.ts';
import { partsOf } from '../parts.ts';
import type { TripState } from '../state.ts';
import type { Kind } from './kind.ts';
import { spokenFor } from './party.ts';
import { whoWords } from './trouble.ts';

const stance = z.int().min(0).max(LIMITS.pitches);

/** A way down from somewhere on the wall: since when, from where, over which stations. */
export interface Retreat {
  /** Ids of those who come down, of a party in parts whose others don't; left out, the party. */
  who?: readonly string[];
  /** From the stance after this pitch; 0 is the ground. */
  fromPitch: number;
  sinceMs: number;
  seq: number;
  /** Each rappel done: the stance they were at then, 0 on the ground. */
  rappels: { station: number; atMs: number; seq: number }[];
  /** When they went climbing again. */
  stoppedMs?: number;
}

/** From where, and who of a party in parts. */
export const beganData = z.strictObject({ pitch: stance, who: spokenFor });
/** The stance they are at after the rappel. */
export const rappelledData = z.strictObject({ station: stance, who: spokenFor });
/** Who climbs on again. */
export const stoppedData = z.strictObject({ who: spokenFor });

/** A retreat: begun, station by station, stopped. */
export const retreatKinds: {
  'retreat.began': Kind<z.infer<typeof beganData>>;
  'retreat.rappelled': Kind<z.infer<typeof rappelledData>>;
  'retreat.stopped': Kind<z.infer<typeof stoppedData>>;
} = {
  'retreat.began': {
    order: 'happened',
    alive: true,
    strike: 'may',
    private: false,
    vital: true,
    data: beganData,
    fold(state, fact) {
      const { seq, atMs, data } = fact;
      const who = ownPart(state, fact, data.who);
      if (openRetreat(state, who) !== undefined) {
        state.clashes.push({ what: 'retreating-already', seq });
        return;
      }
      const all = who === undefined ? state.retreats : state.partRetreats;
      const of = who === undefined ? {} : { who };
      all.push({ ...of, fromPitch: data.pitch, sinceMs: atMs, seq, rappels: [] });
    },
    say: ({ pitch, who }, state) => `${of(state, who)}coming down from ${stanceWords(pitch)}`,
  },
  'retreat.rappelled': {
    order: 'happened',
    alive: true,
    strike: 'may',
    private: false,
    vital: true,
    data: rappelledData,
    fold(state, fact) {
      const { seq, atMs, data } = fact;
      const retreat = begun(state, fact, data.who);
      if (retreat === undefined) return;
      // A station between two stances keeps the lower one's number.
      if (data.station > stanceOf(retreat).pitch) {
        state.clashes.push({ what: 'rappel-up', seq, pitch: stanceOf(retreat).pitch });
        return;
      }
      retreat.rappels.push({ station: data.station, atMs, seq });
    },
    say: ({ station, who }, state) => `${of(state, who)}rappelled to ${stanceWords(station)}`,
  },
  'retreat.stopped': {
    order: 'happened',
    alive: true,
    strike: 'may',
    private: false,
    vital: true,
    data: stoppedData,
    fold(state, fact) {
      const retreat = begun(state, fact, fact.data.who);
      if (retreat !== undefined) retreat.stoppedMs = fact.atMs;
    },
    say: ({ who }, state) => `${of(state, who)}climbing on, no retreat`,
  },
};

/**
 * The retreat that nobody has stopped; undefined when there is none.
 *
 * @param who of a part with one of these in it; the party's when left out
 */
export function openRetreat(state: TripState, who?: readonly string[]): Retreat | undefined {
  const last =
    who === undefined
      ? state.retreats.at(-1)
      : state.partRetreats.findLast((r) => r.who?.some((id) => who.includes(id)));
  return last?.stoppedMs === undefined ? last : undefined;
}

/** The retreat under way of those named: their own, else the party's. */
export function retreatOf(
  state: TripState,
  who: readonly string[] | undefined,
): Retreat | undefined {
  return (who && openRetreat(state, who)) ?? openRetreat(state);
}

/** Those named, where the part they are in isn't the one that stands for the party. */
function ownPart(
  state: TripState,
  at: FactHead,
  who: readonly string[] | undefined,
): readonly string[] | undefined {
  if (who === undefined) return undefined;
  const parts = partsOf(state, at);
  const first = parts[0]?.who ?? [];
  return parts.length < 2 || who.some((id) => first.includes(id)) ? undefined : who;
}

function begun(
  state: TripState,
  at: FactHead,
  who: readonly string[] | undefined,
): Retreat | undefined {
  const own = who && openRetreat(state, who);
  const open = own ?? openRetreat(state, ownPart(state, at, who));
  if (open === undefined) state.clashes.push({ what: 'not-retreating', seq: at.seq });
  return open;
}

/** `Jonas: `; empty for the party. */
function of(state: TripState, who: readonly string[] | undefined): string {
  return who === undefined ? '' : `${whoWords(state, who)}: `;
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

/** `on the ground` or `at the stance after pitch 5`. */
export function atStance(pitch: number): string {
  return `${pitch === 0 ? 'on' : 'at'} ${stanceWords(pitch)}`;
}

/** `the stance after pitch 5`; 0 is the ground. */
export function stanceWords(pitch: number): string {
  return pitch === 0 ? 'the ground' : `the stance after pitch ${pitch}`;
}
