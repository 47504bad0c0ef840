import type { Message } from '../../say/message.ts';
import { isAbout, unmet } from '../expectations.ts';
import { rankOf, standing, toldOf } from '../ladder.ts';
import { FIELD } from '../who.ts';
import { lastHeard } from './common.ts';
import { awaited, type Home, lastHeardIn } from './home.ts';

/**
 * To whoever was told of a phase by a clock that was ahead: its time hasn't come. Undefined when it has by
 * now, or when what it was about was heard or has changed.
 */
export function earlyMessage(h: Home, to: string, seq: number): Message | undefined {
  const { w, state, nowMs } = h;
  const raised = standing(state).find((r) => r.seq === seq);
  const root = raised && unmet(state).find((e) => isAbout(raised, e));
  if (raised === undefined || root === undefined || root.dueMs <= nowMs) return undefined;
  const older = standing(state).filter((r) => toldOf(state, r).includes(to) && r.dueMs <= nowMs);
  const grave = rankOf(raised.phase) >= rankOf('alert');
  return {
    subject: w.text('early.subject', { trip: state.name }),
    now: w.say(grave ? 'early.called' : older.length === 0 ? 'early.fine' : 'early.before'),
    lines: [
      w.say('early.first'),
      w.say('early.still', { what: awaited(h, root) }),
      w.say(older.length === 0 ? 'early.fine' : 'early.before'),
      ...(grave ? [w.say('early.called')] : []),
      to === FIELD ? lastHeard(state, nowMs) : lastHeardIn(h),
      w.say('early.then'),
    ],
  };
}
