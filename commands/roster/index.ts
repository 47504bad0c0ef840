import { type Args, type Command, type Options, sub } from '../../src/app/command.ts';
import { suggestPeople } from '../../src/app/who.ts';
import { LIMITS } from '../../src/limits.ts';
import type { PersonInput } from './fields.ts';
import { addPerson, editPerson, removePerson } from './people.ts';
import { showRoster } from './show.ts';

const role = {
  type: 'string',
  description: 'climber unless named',
  choices: [
    { name: 'climber', value: 'climber' },
    { name: 'ground crew', value: 'ground' },
    { name: 'check-in contact', value: 'contact' },
  ],
} as const;

const note = (description: string) =>
  ({ type: 'string', description, maxLength: LIMITS.noteLength }) as const;

const fields = {
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
  clothing: note('Colours a searcher would see'),
  medical: note('What a rescuer should know, as you want it said'),
  order: { type: 'integer', description: 'Contacts: 1 is told first', min: 1, max: 20 },
  ways: {
    type: 'string',
    description: 'Contacts: how to be told, in this order',
    choices: [
      { name: 'direct message, then e-mail', value: 'dm+email' },
      { name: 'e-mail, then direct message', value: 'email+dm' },
      { name: 'direct message only', value: 'dm' },
      { name: 'e-mail only', value: 'email' },
    ],
  },
} as const satisfies Options;

const name = {
  type: 'string',
  description: 'How the party calls them',
  maxLength: LIMITS.nameLength,
} as const;

const who = {
  type: 'string',
  description: 'Whom',
  required: true,
  maxLength: LIMITS.nameLength,
  suggest: suggestPeople,
} as const;

function input(args: Args<typeof fields>): PersonInput {
  return args;
}

export default {
  name: 'roster',
  description: 'Who climbs, who is on the ground, who waits at home',
  subs: {
    add: sub({
      description: 'Put somebody on the roster',
      access: 'act',
      // What was typed may hold a phone or a medical note.
      private: true,
      options: { name: { ...name, required: true }, ...fields },
      run: (call, args, app) => addPerson(app, call, args.name, input(args)),
    }),
    edit: sub({
      description: 'Change what is known of somebody; "none" takes a value away',
      access: 'act',
      // What was typed may hold a phone or a medical note.
      private: true,
      options: { who, name, ...fields },
      run: (call, args, app) => editPerson(app, call, args.who, args.name, input(args)),
    }),
    remove: sub({
      description: 'Somebody leaves the trip; what they did stays in the record',
      access: 'act',
      options: { who, reason: note('Why, if it should be kept') },
      run: (call, args, app) => removePerson(app, call, args.who, args.reason),
    }),
    show: sub({
      description: 'Who is on the trip; phones and e-mail for the roster only',
      access: 'look',
      private: true,
      options: {},
      run: (call, _args, app) => showRoster(app, call),
    }),
  },
} satisfies Command;
