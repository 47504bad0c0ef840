import { sub } from '../../src/app/command.ts';
import { climberMeant, suggestClimbers } from '../../src/app/who.ts';
import { LIMITS } from '../../src/limits.ts';
import { Refusal } from '../../src/say/refusal.ts';
import type { Draft } from '../../src/trip/fact.ts';
import { pitchAt, type TripState } from '../../src/trip/state.ts';
import { leadPitchOption, sureOption } from './options.ts';
import { previewed } from './preview.ts';
import { mustBeOpen, reassignedLines } from './reassign.ts';

const options = {
  pitch: leadPitchOption('Which pitch'),
  leader: {
    type: 'string',
    description: 'Who leads it; none puts it back in the rotation',
    maxLength: LIMITS.nameLength,
    suggest: suggestClimbers,
  },
  style: {
    type: 'string',
    description: 'How, where the pitch can be led free or on aid',
    choices: [
      { name: 'free', value: 'free' },
      { name: 'aid', value: 'aid' },
      { name: 'as the leader’s ceilings say', value: 'none' },
    ],
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
  access: 'post',
  options,
  run: (call, { pitch, leader, style, sure }, app) =>
    previewed(app, call, {
      sure: sure === true,
      button: {
        label: 'Assign it',
        press: {
          path: 'lead assign',
          options: {
            pitch,
            sure: true,
            ...(leader === undefined ? {} : { leader }),
            ...(style === undefined ? {} : { style }),
          },
        },
      },
      decide(state) {
        mustBeOpen(state, pitch);
        const styled = style === undefined ? [] : [styleDraft(state, pitch, style)];
        if (leader === undefined) {
          if (styled.length > 0) return styled;
          throw new Refusal('nothing-to-change', 'Name who leads it, leader:, or how, style:aid.');
        }
        if (leader.trim().toLowerCase() === 'none') {
          if (!state.assigned.has(pitch)) {
            throw new Refusal('already-so', `Pitch ${pitch} follows the rotation already.`);
          }
          return [{ kind: 'lead.cleared', data: { pitch } }, ...styled];
        }
        const person = climberMeant(state, leader);
        if (!person.leads) {
          throw new Refusal('not-a-climber', [
            `${person.name} follows only on this trip.`,
            `If that has changed: /roster edit who:${person.name} leads:yes`,
          ]);
        }
        return [{ kind: 'lead.assigned', data: { pitch, leader: person.id } }, ...styled];
      },
      lines: (before, after) => reassignedLines(before, after, [pitch]),
    }),
});

function styleDraft(state: TripState, pitch: number, style: 'free' | 'aid' | 'none'): Draft {
  if (pitchAt(state, pitch)?.either !== true) {
    throw new Refusal('nothing-to-change', [
      `Pitch ${pitch} leaves no choice between free and aid by the topo.`,
      ['If it does: ', { code: `/topo edit number:${pitch} free:"7b or C1"` }],
    ]);
  }
  return { kind: 'lead.styled', data: { pitch, style: style === 'none' ? null : style } };
}
