import { deadlinesOf } from '../alarm/deadlines.ts';
import type { Append, NewNotice } from '../store/port.ts';
import type { TripEvent } from '../trip/event.ts';
import { fold } from '../trip/fold.ts';
import type { TripState } from '../trip/state.ts';
import type { WatchParts } from './ports.ts';

/** What the watch itself tells is signed with this. */
const SELF = { id: 'tagline', name: 'tagline' };

export interface WatchDraft {
  kind: string;
  data: object;
}

export interface LoadedTrip {
  channel: string;
  history: TripEvent[];
  state: TripState;
}

/** The trip as it is now; undefined when it was erased. */
export async function loadTrip(parts: WatchParts, trip: string): Promise<LoadedTrip | undefined> {
  const row = await parts.store.trip(trip);
  if (row === undefined || row.status === 'purged') return undefined;
  const history = await parts.store.events(trip);
  return { channel: row.channel, history, state: fold(trip, history) };
}

/** Drafts as an append to the record, with the deadlines that follow. */
export function appendOf(
  parts: WatchParts,
  { state, history }: LoadedTrip,
  drafts: readonly WatchDraft[],
  nowMs: number,
): { append: Append; events: TripEvent[] } {
  const events = drafts.map((draft, i): TripEvent => {
    const seq = state.seq + 1 + i;
    return {
      trip: state.id,
      seq,
      // Numbers are unique within the trip, so this is unique for ever.
      id: `w.${state.id}.${seq}`,
      kind: draft.kind,
      atMs: nowMs,
      recordedAtMs: nowMs,
      by: SELF,
      data: draft.data,
    };
  });
  const after = fold(state.id, [...history, ...events]);
  return {
    events,
    append: {
      trip: state.id,
      afterSeq: state.seq,
      key: `watch/${state.id}/${state.seq + 1}`,
      events,
      answer: null,
      members: parts.members(after),
      status: after.closedAtMs === undefined ? 'open' : 'closed',
      name: after.name,
      deadlines: deadlinesOf(after, nowMs),
      notices: [],
    },
  };
}

/** Others may post at the same moment; more losses in a row than this is a fault. */
export const TRIES = 20;

/**
 * Writes what the watch has to say of a trip and queues its notices, in one transaction, anew on
 * every newer state. Nothing happens when `decide` finds nothing to do.
 */
export async function record(
  parts: WatchParts,
  trip: string,
  nowMs: number,
  decide: (
    loaded: LoadedTrip,
  ) => { drafts: WatchDraft[]; notices: (events: TripEvent[]) => NewNotice[] } | undefined,
): Promise<boolean> {
  for (let tries = 0; tries < TRIES; tries++) {
    const loaded = await loadTrip(parts, trip);
    const plan = loaded && decide(loaded);
    if (loaded === undefined || plan === undefined) return false;
    const { append, events } = appendOf(parts, loaded, plan.drafts, nowMs);
    const result = await parts.store.fire({
      trip,
      keys: [],
      atMs: nowMs,
      notices: plan.notices(events),
      append,
    });
    if (result === 'fired') {
      parts.changed(trip);
      return true;
    }
    if (result === 'already') return false;
  }
  throw new Error(`trip ${trip}: lost ${TRIES} races in a row`);
}
