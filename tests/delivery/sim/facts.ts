/**
 * What a careful person at a desk would know and do, written apart from src/watch on purpose: it works
 * from a plain list of what was told, minute by minute, and knows no events, folds or deadlines.
 */

export const MINUTE = 60_000;
export const PHASE_NAMES = ['due', 'uncertainty', 'alert', 'distress'] as const;

export interface Word {
  atMs: number;
  toldMs: number;
  struck: boolean;
}

export interface Facts {
  departedMs?: number;
  downMs?: number;
  /** Words from the party, as told. The departure is one. */
  words: Word[];
  promises: { dueMs: number; struck: boolean }[];
  /** Agreed times. */
  down?: number;
  callout?: number;
  delays: { contactMin: number; overdueMin: number };
  /** For the second contact alone. */
  own: { contactMin?: number; overdueMin?: number };
}

export function newFacts(): Facts {
  return { words: [], promises: [], delays: { contactMin: 30, overdueMin: 120 }, own: {} };
}

function standingWords(facts: Facts): Word[] {
  return facts.words.filter((w) => !w.struck);
}

/** A time by which a word is still owed; at `callout` a rescue service is called. */
export interface Owed {
  dueMs: number;
  callout: boolean;
}

/** Everything that is still owed, as a person at the desk would note it down. */
export function owed(facts: Facts): Owed[] {
  if (facts.departedMs === undefined || facts.downMs !== undefined) return [];
  const words = standingWords(facts);
  const hour = 60 * MINUTE;
  const list: Owed[] = [];
  for (const { dueMs, struck } of facts.promises) {
    // A word in the hour before it keeps a promise, and so does any later one.
    if (!struck && words.every((w) => w.atMs < dueMs - hour)) list.push({ dueMs, callout: false });
  }
  let lateButHeard = false;
  for (const [dueMs, callout] of [
    [facts.down, false],
    [facts.callout, true],
  ] as const) {
    if (dueMs === undefined) continue;
    const heard = words.some((w) => w.toldMs >= dueMs && w.atMs >= dueMs - hour);
    if (heard) lateButHeard = true;
    else list.push({ dueMs, callout });
  }
  const last = Math.max(...words.map((w) => w.atMs));
  const ask = last + (lateButHeard ? facts.delays.overdueMin * MINUTE : 24 * hour);
  const sooner = list.some((o) => !o.callout && o.dueMs <= ask);
  // Late and heard from: asked for new times. With nothing to keep: asked after a day.
  if ((lateButHeard || list.length === 0) && !sooner) list.push({ dueMs: ask, callout: false });
  if (list.some((o) => o.callout)) return list;
  // Without a call-out time, silence itself is one in the end.
  const first = Math.min(...list.map((o) => o.dueMs));
  list.push({ dueMs: first + facts.delays.overdueMin * MINUTE + 4 * hour, callout: true });
  return list;
}

/** Index into PHASE_NAMES that `group` should know of at `nowMs`; -1 for nothing. */
export function levelDue(facts: Facts, group: '@field' | 'dana' | 'pal', nowMs: number): number {
  const own = group === 'pal' ? facts.own : {};
  const contactMin = own.contactMin ?? facts.delays.contactMin;
  const overdueMin = Math.max(own.overdueMin ?? facts.delays.overdueMin, contactMin);
  let level = -1;
  for (const { dueMs, callout } of owed(facts)) {
    const lateMin = (nowMs - dueMs) / MINUTE;
    if (lateMin < 0) continue;
    if (callout) level = Math.max(level, 3);
    else if (lateMin >= overdueMin) level = Math.max(level, 2);
    else if (lateMin >= contactMin && group !== 'pal') level = Math.max(level, 1);
    else if (group === '@field') level = Math.max(level, 0);
  }
  return level;
}
