import type { Line } from '../../say/reply.ts';
import { dayClock } from '../../time/format.ts';
import type { TripState } from '../../trip/state.ts';
import type { Raised } from '../../trip/watch-state.ts';
import { reached } from '../ladder.ts';
import { contacts, names } from '../who.ts';
import { nextPhaseAt } from './common.ts';

/** Which contacts are told next, and when, if nothing is heard. */
export function nextTold({ state, raised }: { state: TripState; raised: Raised }): Line[] {
  const next = nextPhaseAt(state, raised.phase);
  if (next === undefined) return [];
  const people = contacts(state).filter((p) => next.groups.includes(p.id));
  if (people.length === 0) return ['No contact at home can be reached: nobody else is told.'];
  const when = dayClock(state.zone, next.atMs, raised.atMs);
  const told = reached(state);
  const known = (p: (typeof people)[number]) => told.has(p.id);
  const clause = (who: typeof people, what: string) =>
    who.length === 0 ? [] : [`${names(who)} ${who.length === 1 ? 'is' : 'are'} ${what}`];
  const clauses = [
    ...clause(people.filter(known), 'told what to do next'),
    ...clause(
      people.filter((p) => !known(p)),
      'told',
    ),
  ];
  return [`If nothing is heard, at ${when} ${clauses.join(', and ')}.`];
}
