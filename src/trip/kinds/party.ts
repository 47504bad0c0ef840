import { z } from 'zod';
import { LIMITS } from '../../limits.ts';
import type { TripState } from '../state.ts';
import type { Kind } from './kind.ts';
import { whoWords } from './trouble.ts';

const someone = z.string().min(1).max(40);
/** Ids of those who are meant, at least one. */
export const named = z.strictObject({ who: z.array(someone).min(1).max(LIMITS.climbers) });
/** Ids of those who are together again; nobody named: all of them. */
export const joined = z.strictObject({ who: z.array(someone).max(LIMITS.climbers) });
/** Whom a post speaks of; left out, the whole party, or the part of whoever leads or posts. */
export const spokenFor = z.array(someone).min(1).max(LIMITS.climbers).optional();

/** A parting or a meeting. `who` went on their own, or came together; nobody named: all. */
export interface Split {
  what: 'apart' | 'together';
  who: readonly string[];
  atMs: number;
  seq: number;
}

/** Who is with whom, and who is off the wall while others are still on it. */
export const partyKinds: {
  'party.split': Kind<z.infer<typeof named>>;
  'party.joined': Kind<z.infer<typeof joined>>;
  'party.out': Kind<z.infer<typeof named>>;
} = {
  'party.split': {
    order: 'happened',
    alive: false,
    strike: 'may',
    private: false,
    vital: true,
    data: named,
    fold(state, { atMs, seq, data }) {
      noteSplit(state, { what: 'apart', who: data.who, atMs, seq });
    },
    say: ({ who }, state) => `${whoWords(state, who)} on their own`,
  },
  'party.joined': {
    order: 'happened',
    alive: false,
    strike: 'may',
    private: false,
    vital: true,
    data: joined,
    fold(state, { atMs, seq, data }) {
      noteSplit(state, { what: 'together', who: data.who, atMs, seq });
    },
    say: ({ who }, state) => `${who.length === 0 ? 'all' : whoWords(state, who)} together again`,
  },
  'party.out': {
    order: 'happened',
    alive: true,
    strike: 'may',
    private: false,
    vital: true,
    data: named,
    fold(state, { atMs, seq, data }) {
      mustBeKnown(state, data.who, seq);
      for (const who of data.who) state.outSince.set(who, atMs);
    },
    say: ({ who }, state) => `${whoWords(state, who)} off the wall`,
  },
};

function noteSplit(state: TripState, split: TripState['splits'][number]): void {
  mustBeKnown(state, split.who, split.seq);
  state.splits.push(split);
}

function mustBeKnown(state: TripState, who: readonly string[], seq: number): void {
  for (const person of who) {
    if (state.people.some((p) => p.id === person)) continue;
    state.clashes.push({ what: 'no-such-person', seq, person });
  }
}
