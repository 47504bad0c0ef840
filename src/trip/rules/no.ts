/**
 * A rule's no: which rule, one sentence that says why, and the facts from which the way out is made.
 * The word in `rule` is the same in the log, in tests and in the answer's buttons.
 */
export interface No {
  rule: RuleName;
  text: string;
  /** More sentences: what can be done about it. */
  ways?: readonly string[];
  pitch?: number;
  missing?: readonly number[];
  mark?: 'started' | 'fixed' | 'done';
  /** The post that stands in the way. */
  seq?: number;
  /** Two posts whose times contradict each other: their entries and times as shown. */
  clash?: readonly [Told, Told];
  person?: string;
  atMs?: number;
}

interface Told {
  seq: number;
  /** `14:22`. */
  shown: string;
}

/** The way out of two contradicting times: mend the other one, not the post that was just made. */
export function mendOther([a, b]: readonly [Told, Told], ownSeq: number): string {
  const other = a.seq === ownSeq ? b : a;
  return `If ${other.shown} is wrong: /pitch amend entry:${other.seq}`;
}

export type RuleName =
  | 'time-ahead'
  | 'time-before-previous-pitch'
  | 'time-inside-pitch'
  | 'previous-not-done'
  | 'previous-not-reached'
  | 'told-twice'
  | 'no-such-pitch'
  | 'no-such-person'
  | 'same-person-twice'
  | 'not-a-climber'
  | 'link-too-long'
  | 'link-overlaps'
  | 'link-off-topo'
  | 'no-such-link'
  | 'after-down'
  | 'down-before-pitch'
  | 'depart-after-pitch'
  | 'phase-twice'
  | 'closed'
  | 'opening'
  | 'no-such-cutoff'
  | 'night'
  | 'rain'
  | 'waiting'
  | 'retreating'
  | 'break-overlaps'
  | 'break-outside'
  | 'no-such-trouble'
  | 'no-such-entry'
  | 'already-struck'
  | 'cannot-strike'
  | 'cannot-amend'
  | 'nothing-to-change'
  | 'not-readable'
  | 'too-many';

export type Result<T> = { ok: true; value: T } | { ok: false; no: No };

export function ok<T>(value: T): Result<T> {
  return { ok: true, value };
}

export function no<T = never>(refused: No): Result<T> {
  return { ok: false, no: refused };
}
