import type { Message } from '../../say/message.ts';
import type { Line } from '../../say/reply.ts';
import type { TripState } from '../../trip/state.ts';
import { isAbout, unmet } from '../expectations.ts';
import { rankOf, standing, toldOf } from '../ladder.ts';
import { at, expected, lastHeard } from './common.ts';

/**
 * To whoever was told of a phase by a clock that was ahead: its time hasn't come. Undefined when it has by
 * now, or when what it was about was heard or has changed.
 */
export function earlyMessage(
  state: TripState,
  to: string,
  seq: number,
  nowMs: number,
): Message | undefined {
  const raised = standing(state).find((r) => r.seq === seq);
  const root = raised && unmet(state).find((e) => isAbout(raised, e));
  if (raised === undefined || root === undefined || root.dueMs <= nowMs) return undefined;
  const older = standing(state).filter((r) => toldOf(state, r).includes(to) && r.dueMs <= nowMs);
  const grave = rankOf(raised.phase) >= rankOf('alert');
  return {
    subject: `${state.name}: told too soon, the time has not come`,
    lines: [
      'The last alarm from here came too soon: the clock of the machine that tells you was wrong.',
      ['The time is still to come: ', expected(root), at(state, root.dueMs, nowMs), '.'],
      ...(older.length === 0
        ? ['Nothing is overdue so far.']
        : ['What you were told before that stands.']),
      ...(grave ? ['If you called anyone because of it, tell them now.'] : []),
      lastHeard(state, nowMs),
      'If nothing is heard by then, you are told again.',
    ] satisfies Line[],
  };
}
