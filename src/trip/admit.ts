import { LIMITS } from '../limits.ts';
import type { Fact, RawFact } from './fact.ts';
import { type Folded, foldOn } from './fold.ts';
import { actOf, type RecordAct } from './kinds/acts.ts';
import { kindOf } from './kinds/index.ts';
import { readFact } from './read.ts';
import { firstNo } from './rules/index.ts';
import { type No, no, ok, type Result } from './rules/no.ts';
import { ahead } from './rules/times.ts';
import { atOnce } from './slices.ts';
import type { TripState } from './state.ts';

/** Entries looked at between two yields: a few milliseconds' worth. */
const SLICE = 200;

/** What the gate let in: the facts as they are recorded, and the state they lead to. */
export interface Admitted {
  facts: Fact[];
  after: Folded;
}

/**
 * Whether new facts may join a trip's record. Each one's data fits its kind; no told time lies ahead
 * of now; strikes and amendments name a post that stands; the opening comes first and the closing
 * last; and the state that comes of it breaks no rule. This is the one gate, for commands, the watch,
 * the page and an import alike, so no sequence of them can get round it.
 *
 * @param before the record so far
 */
export function admit(before: Folded, fresh: readonly RawFact[], nowMs: number): Result<Admitted> {
  return atOnce(admitting(before, fresh, nowMs));
}

/** The same, for a record that comes in whole: yields where others may have their turn, among few entries nowhere. */
export function* admitting(
  before: Folded,
  fresh: readonly RawFact[],
  nowMs: number,
): Generator<void, Result<Admitted>> {
  const { history, state } = before;
  const facts: Fact[] = [];
  let byId: Map<string, Fact> | undefined;
  // Few posts name an earlier one.
  const known = (id: string) => {
    byId ??= new Map([...history, ...facts].map((f) => [f.id, f]));
    return byId.get(id);
  };
  for (const raw of fresh) {
    const read = readFact(raw);
    if (!read.ok) return read;
    const fact = read.value;
    const act = actOf(fact);
    const problem =
      orderNo(lastOf([history, facts]), act) ??
      timeNo(state, fact, act, nowMs) ??
      targetNo(known, state, act);
    if (problem !== undefined) return no(problem);
    byId?.set(fact.id, fact);
    facts.push(fact);
    if (facts.length % SLICE === 0) yield;
  }
  const full = fullNo(facts);
  if (full !== undefined) return no(full);
  const after = foldOn(before, facts);
  if (facts.length >= SLICE) yield;
  const broken = firstNo(after.state) ?? manyCutoffs(facts, after.state);
  return broken === undefined ? ok({ facts, after }) : no(broken);
}

/** A full record takes what somebody's life may hang on, and nothing else. */
function fullNo(fresh: readonly Fact[]): No | undefined {
  if (fresh.every((f) => f.seq <= LIMITS.events || kindOf(f.kind).vital)) return undefined;
  return {
    rule: 'too-many',
    text: `The record holds ${LIMITS.events} entries at most.`,
    ways: [
      'Signs of life, trouble, /trip down and /trip close still go in.',
      '/log export keeps it; then /trip close, and /trip open for a new one.',
    ],
  };
}

/** A trip has so many cutoffs and no more; a record that has more of an older release takes every other post. */
function manyCutoffs(fresh: readonly Fact[], { cutoffs }: TripState): No | undefined {
  if (cutoffs.length <= LIMITS.cutoffs) return undefined;
  if (!fresh.some((f) => f.kind === 'cutoff.added')) return undefined;
  return {
    rule: 'too-many',
    text: `A trip has ${LIMITS.cutoffs} cutoffs at most.`,
    ways: ['/cutoff show lists them; take one away by /cutoff remove which:'],
  };
}

/** The last fact that isn't a note about the record itself. */
function lastOf(lists: readonly (readonly Fact[])[]): Fact | undefined {
  const speaks = (f: Fact) => actOf(f)?.does !== 'note';
  for (const list of lists.toReversed()) {
    const found = list.findLast(speaks);
    if (found !== undefined) return found;
  }
  return undefined;
}

/** A record begins with the opening of its trip, which comes once, and nothing follows its closing. */
function orderNo(last: Fact | undefined, act: RecordAct | undefined): No | undefined {
  if (last !== undefined && act?.does === 'note') return undefined;
  if (last !== undefined && actOf(last)?.does === 'close') {
    return {
      rule: 'closed',
      text: 'This trip is closed; its record can be read, not changed.',
      ways: ['/log export keeps a copy; /trip open begins a new one.'],
    };
  }
  if ((last === undefined) === (act?.does === 'open')) return undefined;
  return {
    rule: 'opening',
    text: 'A record begins with the opening of its trip, and has one only.',
    ways: ['Take the file as /log export gave it.'],
  };
}

function timeNo(
  state: TripState,
  fact: Fact,
  act: RecordAct | undefined,
  nowMs: number,
): No | undefined {
  const atMs = (act?.does === 'amend' ? act.change.atMs : undefined) ?? fact.atMs;
  return ahead(state, Math.max(atMs, fact.recordedAtMs), nowMs, LIMITS.clockSlackMs)[0];
}

function targetNo(
  known: (id: string) => Fact | undefined,
  before: TripState,
  act: RecordAct | undefined,
): No | undefined {
  if (act === undefined || !('target' in act)) return undefined;
  const aim = known(act.target);
  if (aim === undefined)
    return {
      rule: 'no-such-entry',
      text: 'There is no such entry in the record.',
      ways: ['/log show lists them.'],
    };
  const entry = before.entries.find((e) => e.event.id === act.target);
  if (entry?.struckBy !== undefined) {
    return {
      rule: 'already-struck',
      text: `Entry ${aim.seq} is struck already (by entry ${entry.struckBy}).`,
      ways: [`To bring it back, strike entry ${entry.struckBy}.`],
      seq: aim.seq,
    };
  }
  return act.does === 'strike' ? strikeNo(aim) : amendNo(aim, act.change);
}

function strikeNo(aim: Fact): No | undefined {
  const { strike } = kindOf(aim.kind);
  if (strike === 'may') return undefined;
  return {
    rule: 'cannot-strike',
    text: `Entry ${aim.seq} ${strike === 'told' ? 'was told to people' : 'opens or ends the trip'} and can't be struck.`,
    ways: actOf(aim)?.does === 'open' ? ['To end the trip: /trip close.'] : [],
    seq: aim.seq,
  };
}

function amendNo(aim: Fact, change: object): No | undefined {
  const kind = kindOf(aim.kind);
  const fields = Object.entries(change).flatMap(([k, v]) => (v === undefined ? [] : [k]));
  if (fields.length === 0) {
    return {
      rule: 'nothing-to-change',
      text: 'Nothing to amend: name a time, a pitch or a leader.',
      ways: ['Like at:14:32, to:5 or leader:Mara.'],
    };
  }
  const allowed: readonly string[] = [
    ...(kind.order === 'happened' ? ['atMs'] : []),
    ...(kind.amendable ?? []),
  ];
  const wrong = fields.filter((f) => !allowed.includes(f));
  if (wrong.length === 0) return undefined;
  return {
    rule: 'cannot-amend',
    text: `Entry ${aim.seq} has no ${wrong.map((w) => (w === 'atMs' ? 'time' : w)).join(' or ')} to amend.`,
    ways: ['Strike it and post it anew.'],
    seq: aim.seq,
  };
}
