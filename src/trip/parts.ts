import { onTheWall } from './conditions.ts';
import { type Fact, idWhereTold } from './fact.ts';
import { markOf } from './kinds/pitch.ts';
import { accountsOf, type Person } from './people.ts';
import { climbers, type TripState } from './state.ts';
import type { Sign } from './watch-state.ts';

/**
 * Those who are together, as last told. A party that was never said to have split is one part. Who is
 * off the wall is in none.
 */
export interface Part {
  /** Ids, in the order of the roster. */
  who: readonly string[];
  /** When they were last said to have parted or met, epoch milliseconds; left out for a party that never split. */
  sinceMs?: number;
}

/**
 * The parts at a moment, the one that climbs on first: the largest that doesn't retreat. Of two alike
 * it is the one that wasn't said to have gone on its own.
 *
 * @param until what was told to have happened later doesn't count
 */
export function partsOf(
  state: TripState,
  until: { atMs: number; seq: number } = { atMs: Number.POSITIVE_INFINITY, seq: 0 },
): Part[] {
  const up = onTheWall(state).map((p) => p.id);
  const retreats = (ids: readonly string[]) =>
    state.partRetreats.some(
      (r) => r.stoppedMs === undefined && r.who?.some((id) => ids.includes(id)),
    );
  return grouped(state.splits, up, until)
    .map(({ bits, ...part }) => ({ ...part, who: up.filter((_, i) => (bits & (1 << i)) !== 0) }))
    .map((part) => ({ ...part, isRetreating: retreats(part.who) }))
    .sort(
      (a, b) =>
        Number(a.isRetreating) - Number(b.isRetreating) ||
        b.who.length - a.who.length ||
        Number(a.named) - Number(b.named),
    )
    .map(({ who, sinceMs }) => ({ who, ...(sinceMs === undefined ? {} : { sinceMs }) }));
}

/** People as bits, by their place among those on the wall: at most `LIMITS.climbers`, and this is asked for all the time. */
interface Group {
  bits: number;
  sinceMs?: number;
  named: boolean;
}

function grouped(
  splits: TripState['splits'],
  up: readonly string[],
  until: { atMs: number; seq: number },
): Group[] {
  const all = (1 << up.length) - 1;
  const parts: Group[] = [{ bits: all, named: false }];
  for (const { what, who, atMs, seq } of splits) {
    if (atMs > until.atMs || (atMs === until.atMs && seq > until.seq)) break;
    const named = who.length === 0 ? all : bitsOf(up, who);
    let own = named;
    if (what === 'together') for (const p of parts) if ((p.bits & named) !== 0) own |= p.bits;
    if (own === 0) continue;
    // In place: a record may hold hundreds of partings, and each sign of life is held against them.
    let left = 0;
    for (const p of parts) {
      const rest = p.bits & ~own;
      // Who is left of a part that others have left: they parted then as well.
      if (rest !== p.bits) p.sinceMs = atMs;
      p.bits = rest;
      if (rest !== 0) parts[left++] = p;
    }
    parts.length = left;
    parts.push({ bits: own, sinceMs: atMs, named: what === 'apart' });
  }
  return parts.filter((p) => p.bits !== 0);
}

/** No bit for who is not among them. */
function bitsOf(up: readonly string[], who: readonly string[]): number {
  let bits = 0;
  for (const id of who) {
    const at = up.indexOf(id);
    if (at >= 0) bits |= 1 << at;
  }
  return bits;
}

/** Whether the party is in more than one part now. */
export function isSplit(state: TripState): boolean {
  return state.splits.length > 0 && partsOf(state).length > 1;
}

/** Climbers who climb on: of a party that has split, the part of them that does. */
export function climbingOn(state: TripState): Person[] {
  const with_ = climbers(state);
  if (state.splits.length === 0 && state.outSince.size === 0) return with_;
  const first = partsOf(state)[0]?.who ?? [];
  return with_.filter((p) => first.includes(p.id));
}

/**
 * Whom a fact shows to have been well: those it names; else the part of whoever led, else of whoever
 * posted, else the one that climbs on. Undefined where the party was together: then it is everybody.
 */
export function spokenOf(state: TripState, fact: Fact): readonly string[] | undefined {
  const data = fact.data as { who?: unknown };
  if (Array.isArray(data.who)) return data.who as string[];
  if (state.splits.length === 0) return undefined;
  const parts = partsOf(state, fact);
  if (parts.length < 2) return undefined;
  const leader = markOf(fact) === undefined ? undefined : (fact.data as { leader?: string }).leader;
  const author = state.people.find((p) => accountsOf(p).includes(idWhereTold(fact.by)))?.id;
  const of = (id: string | undefined) => parts.find((p) => id !== undefined && p.who.includes(id));
  return (of(leader) ?? of(author) ?? parts[0])?.who;
}

/** The newest sign of life of this person; undefined when there was none. */
export function lastSignOf(state: TripState, person: string): Sign | undefined {
  return state.watch.signs.findLast((s) => s.who === undefined || s.who.includes(person));
}

/** A part with its newest sign of life. */
export interface Heard {
  who: readonly string[];
  sign?: Sign;
}

/** What was last heard of each part, the one that climbs on first. */
export function heardOfParts(state: TripState): Heard[] {
  return partsOf(state).map(({ who }) => {
    const sign = oldest(who.map((id) => lastSignOf(state, id)));
    return { who, ...(sign === undefined ? {} : { sign }) };
  });
}

/** The sign that speaks of all: the oldest; undefined when somebody has none. */
function oldest(signs: readonly (Sign | undefined)[]): Sign | undefined {
  return signs.reduce((a, b) =>
    a === undefined || b === undefined ? undefined : a.atMs <= b.atMs ? a : b,
  );
}

/**
 * The newest sign that everybody of `who` has given since: nobody among them was last heard before it.
 * Undefined when one of them was never heard from.
 *
 * @param who everybody on the wall when left out
 */
export function signOfAll(
  state: TripState,
  who: readonly string[] = onTheWall(state).map((p) => p.id),
): Sign | undefined {
  const { signs } = state.watch;
  if (who.length === 0 || signs.every((s) => s.who === undefined)) return signs.at(-1);
  return oldest(who.map((id) => lastSignOf(state, id)));
}
