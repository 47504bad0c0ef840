import type { Fact } from '../fact.ts';
import type { Amendment } from './log.ts';

/** What a fact does to the record itself, beside what it says of the trip. */
export type RecordAct =
  | { does: 'open' }
  | { does: 'close' }
  /** Says something of the record as a whole, a closed one too. */
  | { does: 'note' }
  /** Takes the entry with this id out. */
  | { does: 'strike'; target: string }
  /** Changes what the entry with this id says. */
  | { does: 'amend'; target: string; change: Omit<Amendment, 'target'> };

/** Undefined for a fact that speaks of the trip only, as nearly all do. */
export function actOf(fact: Fact): RecordAct | undefined {
  switch (fact.kind) {
    case 'trip.opened':
      return { does: 'open' };
    case 'trip.closed':
      return { does: 'close' };
    case 'log.imported':
    case 'log.erased':
      return { does: 'note' };
    case 'log.struck':
      return { does: 'strike', target: fact.data.target };
    case 'log.amended': {
      const { target, ...change } = fact.data;
      return { does: 'amend', target, change };
    }
    default:
      return undefined;
  }
}

/** When a word was promised by this fact, epoch milliseconds; undefined for a fact that promises none. */
export function promisedFor(fact: Fact): number | undefined {
  return fact.kind === 'watch.promised' ? fact.data.dueMs : undefined;
}
