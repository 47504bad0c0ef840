import { consentOf } from '../trip/kinds/contact.ts';
import { LOCAL_PREFIX, type Person } from '../trip/people.ts';
import { present, type TripState } from '../trip/state.ts';
import type { Consent } from '../trip/watch-state.ts';

/** Ways to reach one person; the channel is the way to the party and the ground crew together. */
export type Way = 'dm' | 'email';

/** One way to one person, with the account or the address behind it. */
export type WayTo = Pick<Consent, 'person' | 'way' | 'to'>;

/** Stands for everybody's account: whoever uses the local channel has no account and is known by name. */
export const LOCAL_ACCOUNT = 'local';

/** A trip of the local channel: people there have no accounts and are known by name. */
export function isLocal(state: TripState): boolean {
  return state.openedBy.id.startsWith(LOCAL_PREFIX);
}

/** Every way to a person that is known, in the order they chose; direct message before e-mail by default. */
export function waysTo(state: TripState, person: Person): WayTo[] {
  return (person.ways ?? ['dm', 'email']).flatMap((way) => {
    const account = person.userId ?? (isLocal(state) ? LOCAL_ACCOUNT : undefined);
    const to = way === 'dm' ? account : person.email?.toLowerCase();
    return to === undefined ? [] : [{ person: person.id, way, to }];
  });
}

/** What was said by one way. Whoever was never asked is of a release that did not ask, and has agreed. */
export function saidBy(state: TripState, way: WayTo): Consent['said'] {
  return consentOf(state, way)?.said ?? 'yes';
}

/** Ways of this person by which this was said, in the order they chose. Only contacts are asked. */
export function waysSaid(state: TripState, person: Person, said: Consent['said']): WayTo[] {
  const all = waysTo(state, person);
  if (!person.roles.includes('contact')) return said === 'yes' ? all : [];
  return all.filter((way) => saidBy(state, way) === said);
}

/** A contact who was asked and has not said yes by any way. */
export function isUnconfirmed(state: TripState, person: Person): boolean {
  return (
    person.roles.includes('contact') &&
    waysTo(state, person).length > 0 &&
    waysSaid(state, person, 'yes').length === 0
  );
}

/** Every way by which somebody of this trip is, was or may become contact. */
export function everyWay(state: TripState): WayTo[] {
  const asked = state.watch.consents.map(({ person, way, to }) => ({ person, way, to }));
  const here = present(state).filter((p) => p.roles.includes('contact'));
  return [...asked, ...here.flatMap((p) => waysTo(state, p))];
}

/** Ways to contacts that are known after a change and weren't before, and were never asked. */
export function newWays(before: TripState, after: TripState): WayTo[] {
  const all = (state: TripState) =>
    present(state)
      .filter((p) => p.roles.includes('contact'))
      .flatMap((p) => waysTo(state, p));
  const known = new Set(all(before).map((w) => JSON.stringify(w)));
  return all(after).filter(
    (way) => !known.has(JSON.stringify(way)) && consentOf(after, way) === undefined,
  );
}
