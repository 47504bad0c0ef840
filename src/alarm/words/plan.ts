import type { Line } from '../../say/reply.ts';
import type { TripState } from '../../trip/state.ts';
import { PLAN_LABEL } from '../sheet-text.ts';
import { partyNames, verb } from '../who.ts';
import { at } from './common.ts';

/** What has just changed about the times: the departure, or which time moved and who moved it. */
export function changeLines(
  state: TripState,
  { seq, departed, upAgain }: { seq: number; departed: boolean; upAgain?: boolean | undefined },
  nowMs: number,
): Line[] {
  if (upAgain === true) {
    return [
      'That everyone is down was taken back: they are still up there, and are watched again.',
    ];
  }
  if (departed) {
    const left = state.departedAtMs;
    return [
      [
        `${partyNames(state)} ${verb(state, 'has', 'have')} left for ${state.name}`,
        ...(left === undefined ? [] : [', ', at(state, left, nowMs)]),
        '.',
      ],
    ];
  }
  const moved = state.watch.moved.filter((m) => m.seq >= seq);
  if (moved.length === 0) return [`The times for ${state.name} have changed.`];
  return moved.map((m): Line => {
    const label = PLAN_LABEL[m.what];
    if (m.toMs === undefined) return `${label}: taken away by ${m.by}.`;
    return [
      `${label} moved from `,
      at(state, m.fromMs, nowMs),
      ' to ',
      at(state, m.toMs, nowMs),
      ` by ${m.by}.`,
    ];
  });
}
