import type { Person } from '../trip/people.ts';
import { present, type TripState } from '../trip/state.ts';

export { FIELD } from '../trip/watch-state.ts';

/** Ways to reach one person; the channel is the way to the party and the ground crew together. */
export type Way = 'dm' | 'email';

const LOCAL = 'local:';

/** A trip of the local channel: people there have no accounts and are known by name. */
function isLocal(state: TripState): boolean {
  return state.openedBy.id.startsWith(LOCAL);
}

/** The chat account by which somebody gets direct messages. */
export function accountOf(state: TripState, person: Person): string | undefined {
  return person.userId ?? (isLocal(state) ? LOCAL + person.name.toLowerCase() : undefined);
}

/** How somebody can be reached, in the order they chose; direct message before e-mail by default. */
export function waysOf(state: TripState, person: Person): Way[] {
  const wanted = person.ways ?? ['dm', 'email'];
  return wanted.filter((way) =>
    way === 'dm' ? accountOf(state, person) !== undefined : person.email !== undefined,
  );
}

/** Check-in contacts in the order of being told; those without an order come last, as they joined. */
export function contacts(state: TripState): Person[] {
  return present(state)
    .filter((p) => p.roles.includes('contact'))
    .sort((a, b) => (a.order ?? 99) - (b.order ?? 99) || a.joinedAtMs - b.joinedAtMs);
}

/** Contacts who can be told anything at all. */
export function reachable(state: TripState): Person[] {
  return contacts(state).filter((p) => waysOf(state, p).length > 0);
}

/** Party and ground crew: those the channel speaks to. */
export function field(state: TripState): Person[] {
  return present(state).filter((p) => p.roles.includes('climber') || p.roles.includes('ground'));
}

/** `Mara, Jonas and Ines`. */
export function names(people: readonly Pick<Person, 'name'>[]): string {
  const all = people.map((p) => p.name);
  const last = all.pop();
  if (last === undefined) return 'nobody';
  return all.length === 0 ? last : `${all.join(', ')} and ${last}`;
}

/** The climbers by name; `the party` when none is on the roster. */
export function partyNames(state: TripState): string {
  const party = present(state).filter((p) => p.roles.includes('climber'));
  return party.length === 0 ? 'the party' : names(party);
}

/** `one` for a party of one, else `many`: the verb that goes with `partyNames`. */
export function verb(state: TripState, one: string, many: string): string {
  return present(state).filter((p) => p.roles.includes('climber')).length === 1 ? one : many;
}
