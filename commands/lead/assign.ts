import { sub } from '../../src/app/command.ts';
import { climberMeant, suggestClimbers } from '../../src/app/who.ts';
import { LIMITS } from '../../src/limits.ts';
import { Refusal } from '../../src/say/refusal.ts';
import { leadPitchOption, sureOption } from './options.ts';
import { previewed } from './preview.ts';
import { mustBeOpen, reassignedLines } from './reassign.ts';

const options = {
  pitch: leadPitchOption('Which pitch'),
  leader: {
    type: 'string',
    description: 'Who leads it; none puts it back in the rotation',
    required: true,
    maxLength: LIMITS.nameLength,
    suggest: suggestClimbers,
  },
  sure: sureOption,
} as const;

declare module '../../src/say/press.ts' {
  interface Paths {
    'lead assign': typeof options;
  }
}

/** Gives one pitch to one climber by hand; `none` puts it back in the rotation. */
export const assign = sub({
  description: 'Give one pitch to one climber',
  access: 'act',
  options,
  run: (call, { pitch, leader, sure }, app) =>
    previewed(app, call, {
      sure: sure === true,
      button: {
        label: 'Assign it',
        press: { path: 'lead assign', options: { pitch, leader, sure: true } },
      },
      decide(state) {
        mustBeOpen(state, pitch);
        if (leader.trim().toLowerCase() === 'none') {
          if (!state.assigned.has(pitch)) {
            throw new Refusal('already-so', `Pitch ${pitch} follows the rotation already.`);
          }
          return [{ kind: 'lead.cleared', data: { pitch } }];
        }
        const person = climberMeant(state, leader);
        if (!person.leads) {
          throw new Refusal('not-a-climber', [
            `${person.name} follows only on this trip.`,
            `If that has changed: /roster edit who:${person.name} leads:yes`,
          ]);
        }
        return [{ kind: 'lead.assigned', data: { pitch, leader: person.id } }];
      },
      lines: (before, after) => reassignedLines(before, after, [pitch]),
    }),
});
