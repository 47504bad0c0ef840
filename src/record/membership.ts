import { BY_PAGE } from '../alarm/who.ts';
import { Refusal } from '../say/refusal.ts';
import { typedText } from '../say/typed.ts';
import { accountsOf, foldedName, LOCAL_PREFIX, type Person } from '../trip/people.ts';
import { present, type TripState } from '../trip/state.ts';
import type { Call } from './call.ts';

/** Who a contact is when they act by their own page. */
export function pageUser(person: Pick<Person, 'id'>): string {
  return BY_PAGE + person.id;
}

/** User ids that may act on the trip: everybody on the roster, and whoever opened it. */
export function members(state: TripState): string[] {
  return [...new Set([state.openedBy.id, ...present(state).flatMap(accountsOf)])];
}

/** The roster's person behind a user id. */
export function personOf(state: TripState, userId: string): Person | undefined {
  return present(state).find(
    (p) =>
      accountsOf(p).includes(userId) || (p.roles.includes('contact') && pageUser(p) === userId),
  );
}

/** Whether this user may change the trip and see its private details. */
export function mayAct(state: TripState, userId: string): boolean {
  return members(state).includes(userId) || personOf(state, userId) !== undefined;
}

/** Throws a Refusal for somebody who may look only. */
export function mustAct(state: TripState, call: Call): void {
  if (call.manager === true || mayAct(state, call.actor.id)) return;
  throw new Refusal('not-on-roster', [
    `You may look at ${state.name}, but only its roster may change it or see private details.`,
    [
      `${state.openedBy.name}, who opened it, or anyone on the roster can add you: `,
      { code: letIn(state, call.actor) },
    ],
  ]);
}

/** Who reads: a contact who is nothing else changes nothing on the wall, so is told whom to ask instead of how. */
export type Reader = 'crew' | 'contact';

/** How this user reads: whoever opened the trip or is more than a contact belongs to the crew. */
export function readerOf(state: TripState, userId: string): Reader {
  if (state.openedBy.id === userId) return 'crew';
  return personOf(state, userId)?.roles.every((role) => role === 'contact') === true
    ? 'contact'
    : 'crew';
}

/**
 * Throws a Refusal for somebody who may not post the wall: strangers, and contacts who are nothing else.
 * An entry of one's own may be mended by anybody.
 *
 * @param entry the entry it is about, where one is named
 */
export function mustPost(state: TripState, call: Call, entry: number | undefined): void {
  mustAct(state, call);
  const { id } = call.actor;
  if (state.openedBy.id === id) return;
  if (personOf(state, id)?.roles.some((role) => role !== 'contact')) return;
  if (state.entries.some(({ event }) => event.seq === entry && event.by.id === id)) return;
  throw new Refusal('not-the-wall', [
    'Contacts act on alarms; the wall is posted by the climbers and the ground crew.',
    ['What you have heard from them: ', { code: '/checkin ok how:radio words:' }],
    'If you climb or help from the ground too, one of them can say so: /roster edit role:.',
  ]);
}

/** What somebody on the roster types to let a stranger in; an account has to be named, a name may be anybody's. */
function letIn(state: TripState, { id, name }: Call['actor']): string {
  const account = id.startsWith(LOCAL_PREFIX) ? '' : ` user:@${name}`;
  const known = present(state).find((p) => sameName(p.name, name));
  return known === undefined
    ? `/roster add name:${typedText(name)} role:ground${account}`
    : `/roster edit who:${typedText(known.name)}${account}`;
}

/** Names are one when they look the same: case and Unicode's composed or decomposed forms don't count. */
export function sameName(a: string, b: string): boolean {
  return foldedName(a) === foldedName(b);
}
