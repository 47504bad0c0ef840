import { deadlinesOf } from '../alarm/deadlines.ts';
import { stillNeeded } from '../alarm/keeping.ts';
import type { Store } from '../store/port.ts';
import type { RawFact } from '../trip/fact.ts';
import { fold } from '../trip/fold.ts';
import { readFacts } from '../trip/read.ts';
import { present, type TripState } from '../trip/state.ts';
import { peopleBehind, withoutPerson } from './anonymous.ts';
import { members } from './membership.ts';
import type { Records } from './records.ts';

/** What is said to have erased something on request. */
const BY = { id: 'tagline', name: 'tagline' };
/** Somebody else wrote between reading and storing, so often in a row. */
const TRIES = 5;

interface Parts {
  store: Store;
  records: Records;
  ids: { event(): string };
}

/** Why what is kept of somebody stays for now: somebody is out, or they are on the roster of a trip to come. */
export function mustStay(state: TripState, user: string): 'needed' | 'planned' | undefined {
  if (stillNeeded(state)) return 'needed';
  const over = state.downAtMs !== undefined || state.closedAtMs !== undefined;
  const on = present(state).some((p) => peopleBehind(state, user).includes(p));
  return !over && (on || state.openedBy.id === user) ? 'planned' : undefined;
}

/**
 * Takes a person out of a trip's record. The entries stay, without them, and one more says which were changed.
 *
 * @returns whether anything was changed; `stays` when it may not be yet
 */
export async function erasePerson(
  { store, records, ids }: Parts,
  trip: string,
  user: string,
  nowMs: number,
): Promise<'erased' | 'nothing' | 'stays'> {
  for (let tries = 0; tries < TRIES; tries++) {
    const loaded = await records.load(trip);
    if (loaded === undefined) return 'nothing';
    const { row, state } = loaded;
    if (mustStay(state, user) !== undefined) return 'stays';
    const facts = await store.events(trip);
    const redact = withoutPerson(state, facts, user);
    if (redact.length === 0) return 'nothing';
    const told: RawFact = {
      ...{ trip, seq: state.seq + 1, id: ids.event(), kind: 'log.erased' },
      ...{ atMs: nowMs, recordedAtMs: nowMs, by: BY },
      data: { entries: redact.map(({ seq }) => seq) },
    };
    const after = stateWith(trip, facts, redact, told);
    const result = await store.append({
      ...{ trip, afterSeq: state.seq, key: `${BY.id}/erase/${told.id}`, events: [told] },
      ...{ answer: null, members: members(after), status: row.status as 'open' | 'closed' },
      ...{ name: after.name, deadlines: deadlinesOf(after, nowMs), notices: [], redact },
    });
    records.forget(trip);
    if (result.ok) return 'erased';
    if (result.why !== 'conflict') return 'nothing';
  }
  throw new Error(`trip ${trip}: lost ${TRIES} races in a row`);
}

/** @throws Error when the record could not be read afterwards: then nothing is stored */
function stateWith(
  trip: string,
  facts: readonly RawFact[],
  redact: ReturnType<typeof withoutPerson>,
  told: RawFact,
): TripState {
  const instead = new Map(redact.map((r) => [r.seq, r]));
  const raws = facts.map(({ typed, ...fact }) => {
    const changed = instead.get(fact.seq);
    if (changed !== undefined) return { ...fact, by: changed.by, data: changed.data };
    return typed === undefined ? fact : { ...fact, typed };
  });
  const read = readFacts([...raws, told]);
  if (!read.ok)
    throw new Error(`trip ${trip}, entry ${read.seq} would not be readable: ${read.why}`);
  return fold(trip, read.value);
}
