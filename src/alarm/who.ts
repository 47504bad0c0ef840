import { LOCAL_PREFIX as LOCAL, type Person } from '../trip/people.ts';
import { present, type TripState } from '../trip/state.ts';
import { dialled, type Way } from '../trip/ways.ts';
import { isLocal, isUnconfirmed, waysSaid } from './consent.ts';

export { FIELD } from '../trip/watch-state.ts';

/** The chat account by which somebody gets direct messages. */
export function accountOf(state: TripState, person: Person): string | undefined {
  return person.userId ?? (isLocal(state) ? LOCAL + person.name.toLowerCase() : undefined);
}

/** Before the id of a contact who acts by their own page. No chat has such an id. */
export const BY_PAGE = 'contact:';

/** Whether this person told something: by their account, or by their own page. */
export function told(state: TripState, person: Person, by: { id: string }): boolean {
  return accountOf(state, person) === by.id || by.id === BY_PAGE + person.id;
}

/**
 * Whether two entries of the roster are one person: by their account, or by an address where not both have an
 * account. Two accounts behind one mailbox are two people.
 */
export function samePerson(state: TripState, a: Person, b: Person): boolean {
  const [one, other] = [accountOf(state, a), accountOf(state, b)];
  if (one !== undefined && other !== undefined) return one === other;
  const same = (x?: string, y?: string) => x !== undefined && x.toLowerCase() === y?.toLowerCase();
  return same(a.email, b.email) || same(dialled(a.phone), dialled(b.phone)) || same(a.ntfy, b.ntfy);
}

/**
 * How somebody can be reached, in the order they chose; direct message before e-mail by default. A contact
 * is told by those ways only by which they have said yes.
 */
export function waysOf(state: TripState, person: Person): Way[] {
  return [...new Set(waysSaid(state, person, 'yes').map(({ way }) => way))];
}

/**
 * Check-in contacts in the order of being told. An order is a place: whoever has order 2 is told second,
 * and those without one take the places that are free, as they joined.
 */
export function contacts(state: TripState): Person[] {
  const all = present(state)
    .filter((p) => p.roles.includes('contact'))
    .sort((a, b) => a.joinedAtMs - b.joinedAtMs);
  const placed = all
    .filter((p) => p.order !== undefined)
    .sort((a, b) => (a.order ?? 0) - (b.order ?? 0));
  const free = all.filter((p) => p.order === undefined);
  const row: Person[] = [];
  while (placed.length + free.length > 0) {
    const due = placed[0] !== undefined && (placed[0].order ?? 0) <= row.length + 1;
    const next = due || free.length === 0 ? placed.shift() : free.shift();
    if (next !== undefined) row.push(next);
  }
  return row;
}

/** Contacts who have said yes, and can be told. */
export function reachable(state: TripState): Person[] {
  return contacts(state).filter((p) => waysOf(state, p).length > 0);
}

/** Contacts who were asked and have not answered, in the order of being told. */
export function unanswered(state: TripState): Person[] {
  return contacts(state).filter(
    (p) => isUnconfirmed(state, p) && waysSaid(state, p, 'asked').length > 0,
  );
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
