import { personMeant, suggestPeople } from '../../src/app/who.ts';
import { LIMITS } from '../../src/limits.ts';
import { Refusal } from '../../src/say/refusal.ts';
import type { Person } from '../../src/trip/people.ts';
import type { TripState } from '../../src/trip/state.ts';

/** A contact by name, completed while typing. */
export const contactOption = (description: string) =>
  ({
    type: 'string',
    description,
    maxLength: LIMITS.nameLength,
    suggest: suggestPeople,
  }) as const;

/** The contact meant by what was typed. `consequence` ends the refusal of anybody else. */
export function contactMeant(state: TripState, typed: string, consequence: string): Person {
  const person = personMeant(state, typed);
  if (person.roles.includes('contact')) return person;
  throw new Refusal('not-a-contact', `${person.name} is no contact${consequence}`);
}
