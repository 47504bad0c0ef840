import type { Options } from '../../src/app/command.ts';
import { suggestPeople } from '../../src/app/who.ts';
import { LIMITS } from '../../src/limits.ts';
import { suggestZones } from '../trip/zones.ts';
import { suggestWays } from './ways.ts';

export const nameOption = {
  type: 'string',
  description: 'How the party calls them',
  maxLength: LIMITS.nameLength,
} as const;

/** Somebody who is on the roster already. */
export const whoOption = {
  type: 'string',
  description: 'Whom',
  required: true,
  maxLength: LIMITS.nameLength,
  suggest: suggestPeople,
} as const;

const role = {
  type: 'string',
  description: 'climber unless named',
  choices: [
    { name: 'climber', value: 'climber' },
    { name: 'ground crew', value: 'ground' },
    { name: 'check-in contact', value: 'contact' },
  ],
} as const;

/** A longer text: a note, a reason. */
export const noteOption = (description: string) =>
  ({ type: 'string', description, maxLength: LIMITS.noteLength }) as const;

/** What may be told of a person; `none` in a text takes a value away. */
export const fieldOptions = {
  role,
  user: { type: 'user', description: 'Their account here, if they have one' },
  free: {
    type: 'string',
    description: 'Hardest free grade to lead: 5.10a, 6b+, VII-',
    maxLength: 12,
  },
  aid: { type: 'string', description: 'Hardest aid grade to lead: A2, C1', maxLength: 4 },
  leads: { type: 'boolean', description: 'No for somebody who follows only, or is hurt' },
  email: { type: 'string', description: 'For alerts; shown to the roster only', maxLength: 254 },
  phone: { type: 'string', description: 'For the sheet; shown to the roster only', maxLength: 40 },
  age: { type: 'integer', description: 'For the sheet', min: 5, max: 110 },
  clothing: noteOption('Colours a searcher would see'),
  medical: noteOption('What a rescuer should know, as you want it said'),
  zone: {
    type: 'string',
    description: 'Contacts: their own time zone, where it isn’t the wall’s',
    maxLength: 64,
    suggest: suggestZones,
  },
  order: { type: 'integer', description: 'Contacts: 1 is told first', min: 1, max: 20 },
  ways: {
    type: 'string',
    description: 'Contacts: how to be told, the first first: push, e-mail, phone at distress',
    maxLength: 80,
    suggest: suggestWays,
  },
} as const satisfies Options;
