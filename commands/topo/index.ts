import { type Command, sub } from '../../src/app/command.ts';
import { suggestPitches } from '../../src/app/who.ts';
import { LIMITS } from '../../src/limits.ts';
import { editPitch, removePitch } from './edit.ts';
import { loadTopo } from './load.ts';
import { showTopo } from './show.ts';

const number = {
  type: 'integer',
  description: 'Pitch number',
  required: true,
  min: 1,
  max: LIMITS.pitches,
  suggest: suggestPitches,
} as const;

export default {
  name: 'topo',
  description: 'The pitches of the route',
  subs: {
    load: sub({
      description: 'Load all pitches from a CSV file',
      access: 'act',
      options: {
        file: {
          type: 'file',
          required: true,
          description:
            'Columns: pitch, length_m or length_ft, free, aid, stance, bivy, places, rappel',
        },
      },
      run: (call, args, app) => loadTopo(app, call, args.file),
    }),
    show: sub({
      description: 'All pitches with who leads them',
      access: 'look',
      options: {},
      run: (call, _args, app) => showTopo(app, call),
    }),
    edit: sub({
      description: 'Change a pitch, or add the next one; "none" takes a grade away',
      access: 'act',
      options: {
        number,
        length: { type: 'string', description: 'Like 38, 38 m or 125 ft', maxLength: 12 },
        free: { type: 'string', description: '5.10a, 6b+, VII-', maxLength: 12 },
        aid: { type: 'string', description: 'A0–A5, C0–C5', maxLength: 4 },
        stance: {
          type: 'string',
          description: 'At the top of the pitch',
          choices: [
            { name: 'ledge', value: 'ledge' },
            { name: 'hanging', value: 'hanging' },
          ],
        },
        bivy: {
          type: 'string',
          description: 'none, portaledge, or ledge 3 for three places',
          maxLength: 20,
        },
        rappel: { type: 'boolean', description: 'Whether one can rappel from its anchor' },
        minutes: {
          type: 'number',
          description: 'Your own figure for the whole pitch',
          min: 1,
          max: 1440,
        },
        note: { type: 'string', description: 'Anything to remember', maxLength: LIMITS.noteLength },
      },
      run: (call, { number: pitch, ...input }, app) => editPitch(app, call, pitch, input),
    }),
    remove: sub({
      description: 'Take the last pitch off',
      access: 'act',
      options: { number },
      run: (call, args, app) => removePitch(app, call, args.number),
    }),
  },
} satisfies Command;
