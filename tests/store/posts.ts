/** Posts to write in tests, also from a process that has no vitest. */
import type { Append, NewNotice, Store } from '../../src/store/port.ts';
import type { RawFact } from '../../src/trip/fact.ts';

/** 2031-06-12 06:00 UTC: the first morning of the invented climb. */
export const DAWN_MS = 1_939_010_400_000;

export function event(trip: string, n: number, more: Partial<RawFact> = {}): RawFact {
  return {
    trip,
    seq: n,
    id: `${trip}-e${n}`,
    kind: 'pitch-done',
    atMs: DAWN_MS + n * 60_000,
    recordedAtMs: DAWN_MS + n * 60_000 + 5_000,
    by: { id: 'u-greta', name: 'Greta' },
    data: { pitch: n },
    ...more,
  };
}

/** An append of one event after `afterSeq`, with nothing falling due. */
export function append(trip: string, afterSeq: number, more: Partial<Append> = {}): Append {
  const { seq: _, ...posted } = event(trip, afterSeq + 1);
  return {
    trip,
    afterSeq,
    key: `${trip}-i${afterSeq + 1}`,
    events: [posted],
    answer: { said: `pitch ${afterSeq + 1}` },
    members: ['u-mara', 'u-jonas'],
    status: 'open',
    name: 'Harrow Tower',
    deadlines: [],
    notices: [],
    ...more,
  };
}

export function open(
  store: Store,
  trip: string,
  more: Partial<Append> = {},
  channel = `c-${trip}`,
) {
  const { trip: _, afterSeq: __, ...first } = append(trip, 0, more);
  return store.openTrip({ id: trip, channel, guild: 'g-1', openedAtMs: DAWN_MS }, first);
}

export function notice(trip: string, key: string, more: Partial<NewNotice> = {}): NewNotice {
  return { key, trip, urgency: 2, dueAtMs: DAWN_MS, data: { to: 'u-dana', says: key }, ...more };
}
