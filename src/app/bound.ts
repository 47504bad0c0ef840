import { phaseNow, reached, toldOf } from '../alarm/ladder.ts';
import { ackButton, calledButton, fineButton, lastHeard } from '../alarm/words/common.ts';
import { Refusal } from '../say/refusal.ts';
import { dayClock } from '../time/format.ts';
import type { TripState } from '../trip/state.ts';

/** A step of an alarm, as it is said to whoever may be at home. */
const STEP = {
  due: 'the party is asked for a word',
  uncertainty: 'their contacts are asked to try them',
  alert: 'they are overdue',
  distress: 'the rescue service is to be called',
} as const;

/**
 * A button belongs to one step of one alarm: pressed when that is over, it says so and does nothing.
 *
 * @param alarm the entry that raised the step; undefined for what was typed
 * @param group whoever pressed it, as the alarm tells them: an id of the roster, or FIELD
 * @throws Refusal with the buttons of what stands now
 */
export function mustStand(
  state: TripState,
  alarm: number | undefined,
  group: string,
  nowMs: number,
): void {
  if (alarm === undefined) return;
  const top = reached(state);
  const raised = state.watch.raised.find((r) => r.seq === alarm);
  const own = raised !== undefined && toldOf(state, raised).includes(group);
  const stands = own
    ? top.get(group)?.seq === alarm
    : [...top.values()].some((r) => r.seq === alarm);
  if (stands) return;
  const now = top.get(group) ?? phaseNow(state);
  if (now === undefined) {
    throw new Refusal('button-over', [
      'That alarm is over; nothing is changed.',
      lastHeard(state, nowMs),
    ]);
  }
  throw new Refusal(
    'button-over',
    [
      'That button belongs to an earlier step; nothing is changed.',
      `Since ${dayClock(state.zone, now.atMs, nowMs)} ${STEP[now.phase]}. Press the button of that:`,
    ],
    [
      ackButton(now.seq),
      ...(now.phase === 'distress' ? [calledButton(now.seq)] : []),
      fineButton(now.seq),
    ],
  );
}
