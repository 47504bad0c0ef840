import { LIMITS } from '../limits.ts';
import type { Author, Draft, Fact } from '../trip/fact.ts';
import { kindOf } from '../trip/kinds/index.ts';
import type { Loaded } from './writing.ts';

/** So long the same word by the same person says nothing new. Engineering choice. */
const SAME_MS = 10 * 60_000;

/**
 * Drafts without those that only repeat what the same person told within the last ten minutes, for
 * kinds that fold. So what always has room in a record can't fill it: nobody is refused, and what was
 * said stands in the record already. A word after an alarm, or after trouble, is never a repeat.
 */
export function withoutRepeats(
  { history, state }: Pick<Loaded, 'history' | 'state'>,
  drafts: readonly Draft[],
  by: Author,
  nowMs: number,
): readonly Draft[] {
  const full = state.seq >= LIMITS.events;
  const folds = ({ kind }: Draft) => {
    const { repeat } = kindOf(kind);
    return repeat === 'folds' || (repeat === 'folds-when-full' && full);
  };
  if (!drafts.some(folds)) return drafts;
  const recent: Fact[] = [];
  for (let i = history.length - 1; i >= 0; i--) {
    const fact = history[i] as Fact;
    if (fact.recordedAtMs < nowMs - SAME_MS || CHANGES.test(fact.kind)) break;
    if (fact.by.id === by.id) recent.push(fact);
  }
  return drafts.filter((draft) => !folds(draft) || !recent.some((f) => same(f, draft, nowMs)));
}

/** What makes the same words mean something new. */
const CHANGES = /^(watch\.raised|trouble\.(reported|over)|log\.|trip\.|roster\.)/;

function same(fact: Fact, draft: Draft, nowMs: number): boolean {
  return (
    fact.kind === draft.kind &&
    Math.abs(fact.atMs - (draft.atMs ?? nowMs)) < SAME_MS &&
    JSON.stringify(fact.data) === JSON.stringify(draft.data)
  );
}
