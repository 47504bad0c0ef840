import { type Command, sub } from '../../src/app/command.ts';
import { suggestPeople } from '../../src/app/who.ts';
import { LIMITS } from '../../src/limits.ts';
import { checkinDrill } from './drill.ts';
import { checkinOk } from './ok.ts';
import { checkinPlan } from './plan.ts';

const time = (description: string) => ({ type: 'string', description, maxLength: 40 }) as const;
const note = (description: string) =>
  ({ type: 'string', description, maxLength: LIMITS.noteLength }) as const;

export default {
  name: 'checkin',
  description: 'Promised signs of life, and a rehearsal of the alarm',
  subs: {
    ok: sub({
      description: 'They are well: said by the party, or as it was heard by radio',
      access: 'act',
      options: {
        at: time('When, if not now: 14:32, -20m, yesterday 22:40'),
        words: note('What they said'),
        place: note('Where they were'),
        how: {
          type: 'string',
          description: 'How you know; radio for whoever is not climbing',
          choices: [
            { name: 'said by the party', value: 'self' },
            { name: 'heard by radio', value: 'radio' },
            { name: 'seen', value: 'seen' },
            { name: 'reached by phone', value: 'reached' },
          ],
        },
      },
      run: (call, args, app) => checkinOk(app, call, args),
    }),
    plan: sub({
      description: 'Promise a word, agree times; shows them when nothing is named',
      access: 'act',
      options: {
        once: time('A word by this time: 18:00, +3h, tomorrow 07:00'),
        about: note('What that word is about'),
        nightly: time('A word every night at this wall time, like 21:00; none to stop'),
        topout: time('Top-out by; none to take it away'),
        down: time('Everyone down by; none to take it away'),
        callout: time('When the contact calls the rescue service if nothing is heard'),
      },
      run: (call, args, app) => checkinPlan(app, call, args),
    }),
    drill: sub({
      description: 'Rehearse the alarm with the contact; marked as a rehearsal',
      access: 'act',
      options: {
        who: {
          type: 'string',
          description: 'Which contact; all of them when left out',
          maxLength: LIMITS.nameLength,
          suggest: suggestPeople,
        },
      },
      run: (call, args, app) => checkinDrill(app, call, args.who),
    }),
  },
} satisfies Command;
