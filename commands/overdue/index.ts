import { type Command, sub } from '../../src/app/command.ts';
import { suggestPeople } from '../../src/app/who.ts';
import { LIMITS } from '../../src/limits.ts';
import { ack } from './ack.ts';
import { setDelays, setDetails } from './details.ts';
import { linkSub } from './link.ts';
import { resolve } from './resolve.ts';
import { type SheetForm, showSheet } from './sheet.ts';
import { showOverdue } from './show.ts';

const note = (description: string) =>
  ({ type: 'string', description, maxLength: LIMITS.noteLength }) as const;
const contact = (description: string) =>
  ({
    type: 'string',
    description,
    maxLength: LIMITS.nameLength,
    suggest: suggestPeople,
  }) as const;

export default {
  name: 'overdue',
  description: 'The watch: what is late, who knows, what to do',
  subs: {
    show: sub({
      description: 'What is overdue, who was told, what comes next',
      access: 'look',
      options: {},
      run: (call, _args, app) => showOverdue(app, call),
    }),
    ack: sub({
      description: 'You have the alarm in hand: no more reminders to you',
      access: 'act',
      options: {
        for: contact('Say it for a contact who told you, by phone or mail'),
        alarm: { type: 'integer', description: 'Which alarm', hidden: true },
        drill: { type: 'boolean', description: 'The rehearsal', hidden: true },
      },
      run: (call, args, app) => ack(app, call, { who: args.for, drill: args.drill }),
    }),
    resolve: sub({
      description: 'They are fine, or the rescue service has been called',
      access: 'act',
      options: {
        how: {
          type: 'string',
          description: 'Which of the two',
          required: true,
          choices: [
            { name: 'they are fine', value: 'fine' },
            { name: 'call-out made', value: 'called' },
          ],
        },
        words: note('How you know, or what the rescue service said'),
      },
      run: (call, args, app) => resolve(app, call, { how: args.how, words: args.words }),
    }),
    sheet: sub({
      description: 'What to read to the rescue service; every opening is recorded',
      access: 'act',
      private: true,
      options: {
        as: {
          type: 'string',
          description: 'A message unless named',
          choices: [
            { name: 'message', value: 'message' },
            { name: 'file for printing', value: 'print' },
            { name: 'CAP 1.2 file', value: 'cap' },
          ],
        },
      },
      run: (call, args, app) => showSheet(app, call, (args.as ?? 'message') as SheetForm),
    }),
    link: linkSub,
    details: sub({
      description: 'Vehicle, gear, food and the like for the sheet; none takes one away',
      access: 'act',
      private: true,
      options: {
        vehicle: note('Make, colour, registration'),
        parked: note('Where it stands'),
        approach: note('The way in'),
        escape: note('Ways off, and the plan for bad weather'),
        gear: note('Ropes, tent, portaledge, and their colours'),
        food: note('Food and water, for how long'),
        signalling: note('Radio channels, beacon, lights'),
        notes: note('Anything else a rescuer should know'),
      },
      run: (call, args, app) => setDetails(app, call, args),
    }),
    delays: sub({
      description: 'How long after a missed time who is told; 0 goes back to the usual',
      access: 'act',
      options: {
        told: {
          type: 'integer',
          description: 'Minutes until the contact is told: 30 unless set',
          min: 0,
          max: 2880,
        },
        overdue: {
          type: 'integer',
          description: 'Minutes until it is called overdue: 120 unless set',
          min: 0,
          max: 2880,
        },
        who: contact('For this contact only'),
      },
      run: (call, args, app) => setDelays(app, call, args),
    }),
  },
} satisfies Command;
