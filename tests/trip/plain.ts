import { leads } from '../../src/trip/rotation.ts';
import { signWords } from '../../src/trip/signs.ts';
import type { TripState } from '../../src/trip/state.ts';

/** Numbers and times of telling differ between two tellings of the same; nothing else may. */
const OF_TELLING = new Set(['seq', 'entries', 'recordedAtMs']);

/** A state for comparing: without what belongs to the telling, lists of the wall in order of time. */
export function plain(state: TripState): unknown {
  const { breaks, watch } = state;
  return stripped({
    ...state,
    breaks: [...breaks].sort((a, b) => a.fromMs - b.fromMs || compare(a.eventId, b.eventId)),
    watch: {
      ...watch,
      signs: [...watch.signs].sort(
        (a, b) => a.atMs - b.atMs || compare(signWords(state, a), signWords(state, b)),
      ),
    },
    leads: leads(state),
  });
}

const compare = (a: string, b: string) => (a < b ? -1 : 1);

function stripped(value: unknown): unknown {
  if (value instanceof Map) return [...value].map(stripped);
  if (value instanceof Set) return [...value].sort();
  if (Array.isArray(value)) return value.map(stripped);
  if (typeof value !== 'object' || value === null) return value;
  return Object.fromEntries(
    Object.entries(value).flatMap(([k, v]) => (OF_TELLING.has(k) ? [] : [[k, stripped(v)]])),
  );
}

/** The same of a record that was opened from a file, without what marks it as such. */
export function plainWhereTold(state: TripState): unknown {
  const { imported: _imported, openedBy: _importer, ...rest } = state;
  const mine = { ...rest, openedBy: state.entries[0]?.event.by } as TripState;
  return unmarked(plain(mine));
}

function unmarked(value: unknown): unknown {
  if (typeof value === 'string') return value.replace(/^imported:|, imported$/g, '');
  if (Array.isArray(value)) return value.map(unmarked);
  if (typeof value !== 'object' || value === null) return value;
  return Object.fromEntries(Object.entries(value).map(([k, v]) => [k, unmarked(v)]));
}
