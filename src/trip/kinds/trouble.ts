import { z } from 'zod';
import { LIMITS } from '../../limits.ts';
import type { Author, FactHead } from '../fact.ts';
import { nameOf, type TripState } from '../state.ts';
import type { Kind } from './kind.ts';

const note = z.string().trim().min(1).max(LIMITS.noteLength);
const id = z.string().min(1).max(64);
const how = z.enum(['self', 'radio', 'seen', 'reached']);
/** `callout`: the rescue service is wanted. `cope`: they manage, somebody should know of it. */
const wants = z.enum(['callout', 'cope']);
/** How those in trouble are, as last told. */
const condition = z.enum(['hurt', 'unknown', 'well']);

/** What a report of trouble says. */
export const reportedData = z.strictObject({
  /** Ids of those in trouble; empty when it isn't known who. */
  who: z.array(z.string().min(1).max(40)).max(LIMITS.climbers),
  condition,
  what: note,
  where: note.optional(),
  needs: note.optional(),
  how,
  wants,
});
/** Only what is named changes. */
export const updatedData = z.strictObject({
  trouble: id,
  /** Ids of those in it besides whom it names. */
  who: z.array(z.string().min(1).max(40)).max(LIMITS.climbers).optional(),
  words: note,
  condition: condition.optional(),
  where: note.optional(),
  wants: wants.optional(),
  how,
});
/** What ends a trouble. */
export const overData = z.strictObject({
  trouble: id,
  /** Who says so, and how they know. */
  said: note,
  /** Out: off the wall and in somebody's care. Well: still up there, and no longer in trouble. */
  left: z.enum(['well', 'out']),
});

/** Somebody is in trouble, from the report until somebody says how they know that it is over. */
export interface Trouble {
  /** Id of the fact that reported it. */
  id: string;
  seq: number;
  /** When it happened, and when it was told. */
  atMs: number;
  toldMs: number;
  by: Author;
  who: readonly string[];
  condition: z.infer<typeof condition>;
  what: string;
  where?: string;
  needs?: string;
  how: z.infer<typeof how>;
  /** When the rescue service was first wanted; undefined while they cope. */
  calloutMs?: number;
  /** When anything was last told of it. */
  lastWordMs: number;
  updates: { seq: number; atMs: number; by: Author; words: string }[];
  over?: { seq: number; atMs: number; by: Author; said: string; left: 'well' | 'out' };
}

/** How somebody is, as last told: nothing told is `well`. */
export type Condition = 'well' | 'hurt' | 'unknown' | 'out';

/** Trouble: told, told more of, and over. */
export const troubleKinds: {
  'trouble.reported': Kind<z.infer<typeof reportedData>>;
  'trouble.updated': Kind<z.infer<typeof updatedData>>;
  'trouble.over': Kind<z.infer<typeof overData>>;
} = {
  'trouble.reported': {
    order: 'told',
    alive: false,
    strike: 'told',
    private: false,
    vital: true,
    repeat: 'folds-when-full',
    data: reportedData,
    fold(state, fact) {
      const { wants: wanted, where, needs, ...rest } = fact.data;
      const { id: of, seq, atMs, recordedAtMs: toldMs, by } = fact;
      state.troubles.push({
        ...{ id: of, seq, atMs, toldMs, by, lastWordMs: toldMs, updates: [] },
        ...rest,
        ...(where === undefined ? {} : { where }),
        ...(needs === undefined ? {} : { needs }),
        ...(wanted === 'callout' ? { calloutMs: toldMs } : {}),
      });
    },
    say: (data, state) =>
      `trouble: ${whoWords(state, data.who)}: “${data.what}”` +
      `${data.wants === 'callout' ? '; call-out wanted' : ''}`,
  },
  'trouble.updated': {
    order: 'told',
    alive: false,
    strike: 'told',
    private: false,
    vital: true,
    repeat: 'folds-when-full',
    data: updatedData,
    fold(state, fact) {
      const trouble = openOne(state, fact, fact.data.trouble);
      if (trouble === undefined) return;
      const { words, condition: now, where, wants: wanted, who = [] } = fact.data;
      const { seq, atMs, recordedAtMs, by } = fact;
      trouble.updates.push({ seq, atMs, by, words });
      trouble.lastWordMs = recordedAtMs;
      trouble.who = [...new Set([...trouble.who, ...who])];
      if (now !== undefined) trouble.condition = now;
      if (where !== undefined) trouble.where = where;
      // Once a call-out was wanted, only the end of the trouble takes that back.
      if (wanted === 'callout') trouble.calloutMs ??= recordedAtMs;
    },
    say: (data) =>
      `of the trouble: “${data.words}”${data.wants === 'callout' ? '; call-out wanted' : ''}`,
  },
  'trouble.over': {
    order: 'told',
    alive: false,
    strike: 'may',
    private: false,
    vital: true,
    data: overData,
    fold(state, fact) {
      const trouble = openOne(state, fact, fact.data.trouble);
      if (trouble === undefined) return;
      const { said, left } = fact.data;
      trouble.over = { seq: fact.seq, atMs: fact.recordedAtMs, by: fact.by, said, left };
    },
    say: (data) => `the trouble is over: “${data.said}”`,
  },
};

function openOne(state: TripState, { seq }: FactHead, of: string): Trouble | undefined {
  const found = state.troubles.find((t) => t.id === of && t.over === undefined);
  if (found === undefined) state.clashes.push({ what: 'no-such-trouble', seq });
  return found;
}

/** Those in trouble by name; `somebody` when it isn't known who. */
export function whoWords(state: TripState, who: readonly string[]): string {
  const names = who.map((person) => nameOf(state, person));
  const last = names.pop();
  if (last === undefined) return 'somebody of the party';
  return names.length === 0 ? last : `${names.join(', ')} and ${last}`;
}
