import { LIMITS } from '../limits.ts';
import type { Author, Draft } from '../trip/fact.ts';
import { kindOf } from '../trip/kinds/index.ts';
import type { No } from '../trip/rules/no.ts';
import { SELF } from './self.ts';
import type { Loaded } from './writing.ts';

/** Of what a record is read with, one person may write so much: a quarter, so that nobody's flood is in another's way. */
const SHARE = 4;
/** They come once, and end what is watched. */
const ENDS: ReadonlySet<string> = new Set(['trip.down', 'trip.closed']);

/**
 * Why these drafts of one person are too many; undefined when they are not. What is vital has room in a full record
 * too, but not one person's without end. The watch itself is bounded by what it is told.
 */
export function floodNo(
  { history, state }: Pick<Loaded, 'history' | 'state'>,
  drafts: readonly Draft[],
  by: Author,
): No | undefined {
  if (by.id === SELF.id) return undefined;
  const own = (kind: string) => history.filter((f) => f.kind === kind && f.by.id === by.id).length;
  const kind = drafts.find((d) => {
    const most = LIMITS.readOfKind[d.kind];
    return most !== undefined && own(d.kind) >= most / SHARE;
  })?.kind;
  if (kind !== undefined) {
    return {
      rule: 'too-many',
      text: `You have told ${own(kind)} of that kind in this record, as many as one person can.`,
      ways: [
        kind === 'trouble.reported'
          ? 'What is new about a trouble: /trouble update words:'
          : 'What you told before stands. A word now: /checkin ok',
        'Anybody else of the roster can still tell it.',
      ],
    };
  }
  if (state.seq < LIMITS.events || drafts.every((d) => ENDS.has(d.kind))) return undefined;
  const beyond = history
    .slice(LIMITS.events)
    .filter((f) => f.by.id === by.id && kindOf(f.kind).vital && !ENDS.has(f.kind)).length;
  if (beyond < LIMITS.vitalEach) return undefined;
  return {
    rule: 'too-many',
    text: `The record is full, and you have written ${beyond} more entries.`,
    ways: [
      'Anybody else of the roster can still post that all are well, trouble, or that everyone is down.',
      '/trip down and /trip close still go in; /log export keeps the record.',
    ],
  };
}
