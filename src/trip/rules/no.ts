import type { RuleCode } from '../../say/refusal-codes.ts';

/**
 * A rule's no: which rule, one sentence that says why, and the facts from which the way out is made.
 * The word in `rule` is the same in the log, in tests and in the answer's buttons.
 */
export interface No {
  rule: RuleCode;
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

/** A value, or the rule that says no. */
export type Result<T> = { ok: true; value: T } | { ok: false; no: No };

/** A result that holds a value. */
export function ok<T>(value: T): Result<T> {
  return { ok: true, value };
}

/** A result that was refused. */
export function no<T = never>(refused: No): Result<T> {
  return { ok: false, no: refused };
}
