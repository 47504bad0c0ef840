import { LIMITS } from '../limits.ts';
import type { TripEvent } from './event.ts';
import { fold } from './fold.ts';
import { kindOf } from './kinds/index.ts';
import { firstNo } from './rules/index.ts';
import { type No, no, ok, type Result } from './rules/no.ts';
import { ahead } from './rules/times.ts';
import type { TripState } from './state.ts';

/**
 * Whether new events may join a trip's record: each one's data fits its kind, no told time lies ahead
 * of now, strikes and amendments name a post that stands, the opening comes first and the closing
 * last, and the state that comes of it breaks no rule. The one gate for every command and for an import, so no sequence of them can get round it.
 */
export function admit(
  trip: string,
  history: readonly TripEvent[],
  fresh: readonly TripEvent[],
  nowMs: number,
  before: TripState = fold(trip, history),
): Result<TripState> {
  const known = new Map(history.map((e) => [e.id, e]));
  let last = history.at(-1);
  for (const event of fresh) {
    const problem =
      orderNo(last, event) ??
      unreadable(event) ??
      timeProblem(before, event, nowMs) ??
      targetNo(known, before, event);
    if (problem !== undefined) return no(problem);
    known.set(event.id, event);
    last = event;
  }
  const after = fold(trip, [...history, ...fresh]);
  const broken = firstNo(after);
  return broken === undefined ? ok(after) : no(broken);
}

/** A record begins with the opening of its trip, which comes once, and nothing follows its closing. */
function orderNo(last: TripEvent | undefined, event: TripEvent): No | undefined {
  if (last?.kind === 'trip.closed') {
    return {
      rule: 'closed',
      text: 'This trip is closed; its record can be read, not changed.',
      ways: ['/log export keeps a copy; /trip open begins a new one.'],
    };
  }
  if ((last === undefined) === (event.kind === 'trip.opened')) return undefined;
  return {
    rule: 'opening',
    text: 'A record begins with the opening of its trip, and has one only.',
    ways: ['Take the file as /log export gave it.'],
  };
}

function unreadable(event: TripEvent): No | undefined {
  const kind = kindOf(event.kind);
  if (kind === undefined)
    return {
      rule: 'not-readable',
      text: `Unknown kind of entry: ${event.kind}.`,
      ways: ['A newer release may know it.'],
    };
  const parsed = kind.data.safeParse(event.data);
  if (parsed.success) return undefined;
  const issue = parsed.error.issues[0];
  return {
    rule: 'not-readable',
    text: `${issue?.path.join('.') || event.kind}: ${issue?.message ?? 'not readable'}.`,
    ways: ['Check what was typed; /help about: lists the options.'],
  };
}

function timeProblem(state: TripState, event: TripEvent, nowMs: number): No | undefined {
  const { atMs } = (event.kind === 'log.amended' ? event.data : {}) as { atMs?: number };
  const latestMs = Math.max(atMs ?? event.atMs, event.recordedAtMs);
  return ahead(state, latestMs, nowMs, LIMITS.clockSlackMs)[0];
}

/** What opened the trip, and what has been told to people: neither can be unsaid. */
const NEVER_STRUCK = new Set([
  ...['trip.opened', 'trip.closed', 'watch.raised', 'watch.acked', 'watch.called'],
  ...['watch.drill', 'watch.drilled', 'watch.unreached', 'watch.sheet'],
]);

function targetNo(
  known: ReadonlyMap<string, TripEvent>,
  before: TripState,
  event: TripEvent,
): No | undefined {
  const strike = event.kind === 'log.struck';
  if (!strike && event.kind !== 'log.amended') return undefined;
  const { target, ...change } = event.data as { target: string };
  const aim = known.get(target);
  if (aim === undefined)
    return {
      rule: 'no-such-entry',
      text: 'There is no such entry in the record.',
      ways: ['/log show lists them.'],
    };
  const entry = before.entries.find((e) => e.event.id === target);
  if (entry?.struckBy !== undefined) {
    return {
      rule: 'already-struck',
      text: `Entry ${aim.seq} is struck already (by entry ${entry.struckBy}).`,
      ways: [`To bring it back, strike entry ${entry.struckBy}.`],
      seq: aim.seq,
    };
  }
  if (strike) {
    return NEVER_STRUCK.has(aim.kind)
      ? {
          rule: 'cannot-strike',
          text: `Entry ${aim.seq} ${aim.kind.startsWith('watch.') ? 'was told to people' : 'opens or ends the trip'} and can't be struck.`,
          ways: aim.kind === 'trip.opened' ? ['To end the trip: /trip close.'] : [],
          seq: aim.seq,
        }
      : undefined;
  }
  return amendNo(aim, change);
}

function amendNo(aim: TripEvent, change: object): No | undefined {
  const kind = kindOf(aim.kind);
  const fields = Object.entries(change).flatMap(([k, v]) => (v === undefined ? [] : [k]));
  if (fields.length === 0) {
    return {
      rule: 'nothing-to-change',
      text: 'Nothing to amend: name a time, a pitch or a leader.',
      ways: ['Like at:14:32, to:5 or leader:Mara.'],
    };
  }
  const allowed = [...(kind?.order === 'happened' ? ['atMs'] : []), ...(kind?.amendable ?? [])];
  const wrong = fields.filter((f) => !allowed.includes(f));
  if (wrong.length === 0) return undefined;
  return {
    rule: 'cannot-amend',
    text: `Entry ${aim.seq} has no ${wrong.map((w) => (w === 'atMs' ? 'time' : w)).join(' or ')} to amend.`,
    ways: ['Strike it and post it anew.'],
    seq: aim.seq,
  };
}
