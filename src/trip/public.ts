import type { Fact } from './fact.ts';
import type { Person } from './people.ts';
import type { TripState } from './state.ts';

/**
 * A trip as anybody may read it who has no part in it: without addresses, numbers, notes on health, what people
 * typed, and who is reached how. What is worked out of it can show none of that. Names, times, the plan and
 * how far the party has come are left.
 */
export function publicState(state: TripState): TripState {
  const { emergencyNumber: _, ...rest } = state;
  return {
    ...rest,
    openedBy: { id: '', name: state.openedBy.name },
    people: state.people.map(publicPerson),
    waits: state.waits.map(({ words: _words, ...wait }) => wait),
    troubles: state.troubles.map(({ where: _where, needs: _needs, ...trouble }) => ({
      ...trouble,
      what: '',
      updates: trouble.updates.map((update) => ({ ...update, words: '' })),
      ...(trouble.over === undefined ? {} : { over: { ...trouble.over, said: '' } }),
    })),
    cutoffs: state.cutoffs.map((cutoff) => ({ ...cutoff, label: '' })),
    kit: new Map(),
    weather: {},
    watch: {
      ...state.watch,
      promises: state.watch.promises.map(({ about: _about, ...promise }) => promise),
      signs: state.watch.signs.map(({ fact, ...sign }) => ({ ...sign, fact: wordless(fact) })),
      called: state.watch.called.map(({ words: _words, ...call }) => call),
      asked: [],
      consents: [],
      devices: [],
      unreached: [],
      opened: [],
      details: {},
    },
    entries: [],
    clashes: [],
  };
}

/** That they were heard, and nothing of what was said. */
function wordless({ trip, seq, id, atMs, recordedAtMs, by }: Fact): Fact {
  const head = { trip, seq, id, atMs, recordedAtMs, by };
  return { ...head, kind: 'watch.ok', data: { how: 'radio' } };
}

function publicPerson({ id, name, roles, leads, joinedAtMs, ...rest }: Person): Person {
  const { hasClimbed, out, leftAtMs, order } = rest;
  return {
    id,
    name,
    roles,
    leads,
    joinedAtMs,
    ...(order === undefined ? {} : { order }),
    ...(hasClimbed === undefined ? {} : { hasClimbed }),
    ...(out === undefined ? {} : { out }),
    ...(leftAtMs === undefined ? {} : { leftAtMs }),
  };
}
