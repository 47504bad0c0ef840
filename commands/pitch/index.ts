import { type Args, type Command, type Options, sub } from '../../src/app/command.ts';
import { pitchOption, toldAtOption } from '../../src/app/options.ts';
import { suggestClimbers } from '../../src/app/who.ts';
import { LIMITS } from '../../src/limits.ts';
import { amendPost } from './amend.ts';
import { postBreak } from './break.ts';
import { type MarkName, postMark } from './mark.ts';
import { strikePost } from './strike.ts';

const leader = {
  type: 'string',
  description: 'Who led it, if not as planned',
  maxLength: LIMITS.nameLength,
  suggest: suggestClimbers,
} as const;

const entry = {
  type: 'integer',
  description: 'Number of the post in /log show',
  min: 1,
  max: LIMITS.events,
} as const;

const told = {
  number: pitchOption('Which pitch; the one under way when left out'),
  at: toldAtOption,
  leader,
  /** Several pitches in one go: the first of them. */
  from: { type: 'integer', description: 'First of several', hidden: true },
} as const satisfies Options;

const mark = (name: MarkName, description: string) =>
  sub({
    description,
    access: 'act',
    options: told,
    run: (call, args: Args<typeof told>, app) => postMark(app, call, { mark: name, ...args }),
  });

export default {
  name: 'pitch',
  description: 'What happened on the wall, and when',
  subs: {
    start: mark('started', 'The leader has started up'),
    fixed: mark('fixed', 'The leader is at the anchor and the line is fixed'),
    done: mark('done', 'Everybody is up and the pitch is clean'),
    break: sub({
      description: 'A rest, a lunch, a stuck bag: left out of the pace',
      access: 'act',
      options: {
        minutes: { type: 'integer', description: 'How long', required: true, min: 1, max: 720 },
        at: { ...toldAtOption, description: 'When it ended, if not now' },
        number: pitchOption('On which pitch; the one under way when left out'),
      },
      run: (call, args, app) => postBreak(app, call, args),
    }),
    amend: sub({
      description: 'Mend a post: another time, pitch or leader',
      access: 'act',
      options: {
        number: pitchOption('The newest post of this pitch'),
        entry,
        at: { ...toldAtOption, description: 'When it really was' },
        to: pitchOption('The pitch it should have named'),
        leader: { ...leader, description: 'Who really led' },
      },
      run: (call, args, app) => amendPost(app, call, args),
    }),
    strike: sub({
      description: 'Take a wrong post out; it stays in the record',
      access: 'act',
      options: {
        number: pitchOption('The newest post of this pitch'),
        entry,
        why: { type: 'string', description: 'Why, for the record', maxLength: LIMITS.noteLength },
        until: { type: 'integer', description: 'Last of several', hidden: true },
        above: { type: 'boolean', description: 'With the pitches above', hidden: true },
      },
      run: (call, args, app) => strikePost(app, call, args),
    }),
  },
} satisfies Command;
