import { type Command, sub } from '../../src/app/command.ts';
import { suggestCutoffs } from '../../src/app/forecast/suggest.ts';
import { suggestPitches } from '../../src/app/who.ts';
import { LIMITS } from '../../src/limits.ts';
import type { Cutoff } from '../../src/trip/kinds/cutoff.ts';
import { addCutoff, removeCutoff, showCutoffs } from './cutoffs.ts';

export default {
  name: 'cutoff',
  description: 'Times that bind',
  subs: {
    add: sub({
      description: 'Add a time that binds',
      access: 'act',
      options: {
        kind: {
          type: 'string',
          description: 'What binds',
          required: true,
          choices: [
            { name: 'dark: civil dusk of the day', value: 'dark' },
            { name: 'the last shuttle of the day', value: 'shuttle' },
            { name: 'a permit', value: 'permit' },
            { name: 'the weather window', value: 'weather' },
            { name: 'a time of our own', value: 'own' },
          ],
        },
        at: {
          type: 'string',
          description: 'When: 18:40, sat 18:40, +6h. For dark and shuttle the day: today, sat',
          maxLength: 40,
        },
        target: {
          type: 'string',
          description: 'What must have happened by then: on top unless named',
          choices: [
            { name: 'on top', value: 'topout' },
            { name: 'at the trailhead', value: 'trailhead' },
            { name: 'everyone down', value: 'down' },
          ],
        },
        pitch: {
          type: 'integer',
          description: 'Or: this pitch done',
          min: 1,
          max: LIMITS.pitches,
          suggest: suggestPitches,
        },
        label: { type: 'string', description: 'What to call it', maxLength: LIMITS.nameLength },
      },
      run: (call, { kind, ...input }, app) =>
        addCutoff(app, call, { kind: kind as Cutoff['kind'], ...input }),
    }),
    remove: sub({
      description: 'Take a cutoff away',
      access: 'act',
      options: {
        which: {
          type: 'string',
          description: 'Its number or what it is called',
          required: true,
          maxLength: LIMITS.nameLength,
          suggest: suggestCutoffs,
        },
      },
      run: (call, args, app) => removeCutoff(app, call, args.which),
    }),
    show: sub({
      description: 'All cutoffs with their odds, the one that binds first',
      access: 'look',
      options: {},
      run: (call, _args, app) => showCutoffs(app, call),
    }),
  },
} satisfies Command;
