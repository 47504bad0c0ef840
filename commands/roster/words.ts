import type { Person, Role } from '../../src/trip/people.ts';

const ROLE: Record<Role, string> = {
  climber: 'climber',
  ground: 'ground crew',
  contact: 'check-in contact',
};

/** `climber, leads free to 6c, aid to A2`; nothing private. */
export function abilityWords(person: Person): string {
  const parts = person.roles.map((role) => ROLE[role]);
  if (person.roles.includes('climber')) parts.push(...climbingWords(person));
  if (person.roles.includes('contact')) parts.push(waysWords(person));
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
function waysWords(person: Person): string {
  const dm = person.userId === undefined ? [] : ['direct message'];
  const mail = person.email === undefined ? [] : ['e-mail'];
  const ways = [...dm, ...mail];
  return ways.length === 0 ? 'no way to reach them yet' : `reached by ${ways.join(' and ')}`;
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
