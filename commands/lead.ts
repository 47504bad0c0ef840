import { type Command, sub } from '../src/app/command.ts';
import { assignLead, swapLeads } from '../src/app/leading/assign.ts';
import { linkPitches, unlinkPitches } from '../src/app/leading/link.ts';
import { setOrder } from '../src/app/leading/order.ts';
import { leadNext, leadPlan } from '../src/app/leading/show.ts';
import { suggestClimbers, suggestPitches } from '../src/app/who.ts';
import { LIMITS } from '../src/limits.ts';

const pitch = (description: string) =>
  ({
    type: 'integer',
    description,
    required: true,
    min: 1,
    max: LIMITS.pitches,
    suggest: suggestPitches,
  }) as const;

export default {
  name: 'lead',
  description: 'Who leads what',
  subs: {
    next: sub({
      description: 'Who leads next, which pitch, and why',
      access: 'look',
      options: {},
      run: (call, _args, app) => leadNext(app, call),
    }),
    plan: sub({
      description: 'The whole rotation and everybody’s share',
      access: 'look',
      options: {},
      run: (call, _args, app) => leadPlan(app, call),
    }),
    assign: sub({
      description: 'Give one pitch to one climber',
      access: 'act',
      options: {
        pitch: pitch('Which pitch'),
        leader: {
          type: 'string',
          description: 'Who leads it; none puts it back in the rotation',
          required: true,
          maxLength: LIMITS.nameLength,
          suggest: suggestClimbers,
        },
      },
      run: (call, args, app) => assignLead(app, call, args.pitch, args.leader),
    }),
    swap: sub({
      description: 'Exchange the leaders of two pitches',
      access: 'act',
      options: { a: pitch('One pitch'), b: pitch('The other') },
      run: (call, args, app) => swapLeads(app, call, args.a, args.b),
    }),
    order: sub({
      description: 'How leads go round',
      access: 'act',
      options: {
        rule: {
          type: 'string',
          description: 'Swing, blocks, or a fixed list',
          required: true,
          choices: [
            { name: 'swing leads', value: 'swing' },
            { name: 'block leads', value: 'block' },
            { name: 'a fixed list', value: 'list' },
          ],
        },
        n: { type: 'integer', description: 'Pitches in a block', min: 1, max: 20 },
        names: {
          type: 'string',
          description: 'Climbers in order: Mara, Jonas, Ines',
          maxLength: 500,
        },
      },
      run: (call, args, app) =>
        setOrder(app, call, {
          rule: args.rule as 'swing' | 'block' | 'list',
          n: args.n,
          names: args.names,
        }),
    }),
    link: sub({
      description: 'Climb a pitch and the next in one lead',
      access: 'act',
      options: { pitch: pitch('The lower of the two') },
      run: (call, args, app) => linkPitches(app, call, args.pitch),
    }),
    unlink: sub({
      description: 'Make two leads of a link again',
      access: 'act',
      options: { pitch: pitch('The lower of the two') },
      run: (call, args, app) => unlinkPitches(app, call, args.pitch),
    }),
  },
} satisfies Command;
