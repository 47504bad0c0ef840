import { consentOf } from '../trip/kinds/contact.ts';
import { LOCAL_PREFIX, type Person } from '../trip/people.ts';
import { present, type TripState } from '../trip/state.ts';
import type { Consent } from '../trip/watch-state.ts';
import { BY_LINK, dialled, TURNED_ON, type Way } from '../trip/ways.ts';

/** One way to one person, with the account or the address behind it. */
export type WayTo = Pick<Consent, 'person' | 'way' | 'to'>;

/** Stands for everybody's account: whoever uses the local channel has no account and is known by name. */
export const LOCAL_ACCOUNT = 'local';

/** A trip of the local channel: people there have no accounts and are known by name. */
export function isLocal(state: TripState): boolean {
  return state.openedBy.id.startsWith(LOCAL_PREFIX);
}

/** Ways unless others are chosen. A number that stands on the sheet is rung by nobody unasked. */
const USUAL: readonly Way[] = ['dm', 'email'];

/**
 * Every way to a person that is known, in the order they chose; direct message before e-mail by default, and
 * before both what they turned on themselves: browsers, a topic. Who is to have nothing but those and has none yet
 * has the link that the party hands them.
 */
export function waysTo(state: TripState, person: Person): WayTo[] {
  const contact = person.roles.includes('contact');
  const chosen = (person.ways ?? USUAL).filter((way) => contact || USUAL.includes(way));
  const devices = state.watch.devices.filter((d) => contact && d.person === person.id);
  const order: Way[] = [...TURNED_ON.filter((way) => !chosen.includes(way)), ...chosen];
  const account = person.userId ?? (isLocal(state) ? LOCAL_ACCOUNT : undefined);
  const known: Readonly<Record<Way, readonly (string | undefined)[]>> = {
    dm: [account],
    email: [person.email?.toLowerCase()],
    push: devices.map((d) => d.to),
    ntfy: contact ? [person.ntfy] : [],
    phone: [dialled(person.phone)],
  };
  const found = order.flatMap((way) =>
    known[way].flatMap((to) => (to === undefined ? [] : [{ person: person.id, way, to }])),
  );
  const byLink = chosen.find((way) => TURNED_ON.some((own) => own === way));
  if (found.length > 0 || byLink === undefined) return found;
  return [{ person: person.id, way: byLink, to: BY_LINK }];
}

/**
 * What was said by one way. Whoever was never asked is of a release that did not ask, and has agreed; that
 * release knew chat and mail.
 */
export function saidBy(state: TripState, way: WayTo): Consent['said'] {
  return consentOf(state, way)?.said ?? (USUAL.includes(way.way) ? 'yes' : 'unsent');
}

/**
 * Ways of this person by which this was said, in the order they chose. Only contacts are asked. Nobody is
 * told by a link that they were handed.
 */
export function waysSaid(state: TripState, person: Person, said: Consent['said']): WayTo[] {
  const all = waysTo(state, person);
  if (!person.roles.includes('contact')) return said === 'yes' ? all : [];
  return all.filter((way) => saidBy(state, way) === said && (said !== 'yes' || way.to !== BY_LINK));
}

/** A contact who was asked and has not said yes by any way. */
export function isUnconfirmed(state: TripState, person: Person): boolean {
  const all = waysTo(state, person);
  return (
    person.roles.includes('contact') &&
    all.length > 0 &&
    !all.some((way) => saidBy(state, way) === 'yes')
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

/** Whether somebody has said no by every way there is to them. */
export function hasRefused(state: TripState, person: Person): boolean {
  const all = waysTo(state, person);
  return all.length > 0 && waysSaid(state, person, 'no').length === all.length;
}
