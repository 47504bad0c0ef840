import { type WayTo, waysSaid, waysTo } from '../../src/alarm/consent.ts';
import type { Person, Role } from '../../src/trip/people.ts';
import type { TripState } from '../../src/trip/state.ts';
import { BY_LINK, WAY_WORDS, type Way } from '../../src/trip/ways.ts';

const ROLE: Record<Role, string> = {
  climber: 'climber',
  ground: 'ground crew',
  contact: 'check-in contact',
};

/** `climber, leads free to 6c, aid to A2`; nothing private. */
export function abilityWords(state: TripState, person: Person): string {
  const parts = person.roles.map((role) => ROLE[role]);
  if (person.roles.includes('climber')) parts.push(...climbingWords(person));
  if (person.roles.includes('contact')) parts.push(waysWords(state, person));
  return parts.join(', ');
}

function climbingWords(person: Person): string[] {
  if (!person.leads) return ['follows only'];
  const free = person.free === undefined ? [] : [`free to ${person.free.text}`];
  const aid = person.aid === undefined ? [] : [`aid to ${person.aid.text}`];
  const to = [...free, ...aid];
  return [to.length === 0 ? 'leads, no grade given' : `leads ${to.join(', ')}`];
}

/** How a contact can be reached, without the address itself. */
function waysWords(state: TripState, person: Person): string {
  const named = (ways: readonly WayTo[]) =>
    [...new Set(ways.map(({ way }) => way))].map((way) => stepped(person, way)).join(' and ');
  const all = waysTo(state, person);
  if (all.length === 0) return 'no way to reach them yet';
  const yes = waysSaid(state, person, 'yes');
  if (yes.length > 0) return `reached by ${named(yes)}`;
  const [asked, unsent] = [waysSaid(state, person, 'asked'), waysSaid(state, person, 'unsent')];
  if (asked.length > 0) return `asked by ${named(asked)}, NOT CONFIRMED`;
  const link = unsent.find((w) => w.to === BY_LINK);
  if (link !== undefined) {
    return `${WAY_WORDS[link.way]}, by a link that you pass on, NOT CONFIRMED`;
  }
  return unsent.length > 0 ? 'NOT ASKED yet' : 'has said no';
}

/** `phone from distress`: a way with the step that it is kept for. */
function stepped({ from }: Person, way: Way): string {
  const step = from?.[way];
  const when = step === undefined ? '' : step === 'alert' ? ' from overdue' : ' at distress';
  return `${WAY_WORDS[way]}${when}`;
}

/** Phone, e-mail and the rest, for the roster's own eyes. */
export function privateWords(person: Person): string[] {
  const facts: [string, string | number | undefined][] = [
    ['phone', person.phone],
    ['e-mail', person.email],
    ['age', person.age],
    ['clothing', person.clothing],
    ['medical', person.medical],
  ];
  return facts.flatMap(([label, value]) => (value === undefined ? [] : [`${label} ${value}`]));
}
