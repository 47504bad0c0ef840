import { type Command, sub } from '../../src/app/command.ts';
import { suggestClimbers, suggestPitches } from '../../src/app/who.ts';
import { LIMITS } from '../../src/limits.ts';
import { assignLead, swapLeads } from './assign.ts';
import { orderFastest } from './fastest.ts';
import { linkPitches, unlinkPitches } from './link.ts';
import { setOrder } from './order.ts';
import { leadNext, leadPlan } from './show.ts';

const pitch = (description: string) =>
  ({
    type: 'integer',
    description,
    required: true,
    min: 1,
    max: LIMITS.pitches,
    suggest: suggestPitches,
  }) as const;

/** Set by the button below what a reassignment would do. */
const sure = { type: 'boolean', description: 'Seen what it does', hidden: true } as const;

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
      description: "The whole rotation and everybody's share",
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
        sure,
      },
      run: (call, args, app) => assignLead(app, call, args.pitch, args.leader, args.sure === true),
    }),
    swap: sub({
      description: 'Exchange the leaders of two pitches',
      access: 'act',
      options: { a: pitch('One pitch'), b: pitch('The other'), sure },
      run: (call, args, app) => swapLeads(app, call, args.a, args.b, args.sure === true),
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
            { name: 'the fastest there is', value: 'fastest' },
          ],
        },
        n: { type: 'integer', description: 'Pitches in a block', min: 1, max: 20 },
        names: {
          type: 'string',
          description: 'Climbers in order: Mara, Jonas, Ines',
          maxLength: 500,
        },
        rest: { type: 'integer', description: 'Fastest: most leads in a row', min: 1, max: 20 },
        slack: {
          type: 'integer',
          description: 'Fastest: how far from even the shares may be; 1 unless named',
          min: 0,
          max: 40,
        },
        wishes: {
          type: 'string',
          description: 'Fastest: like "Mara 3, Ines not 8"',
          maxLength: 300,
        },
      },
      run: (call, { rule, n, names, ...fastest }, app) =>
        rule === 'fastest'
          ? orderFastest(app, call, fastest)
          : setOrder(app, call, { rule: rule as 'swing' | 'block' | 'list', n, names }),
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
