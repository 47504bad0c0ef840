import type { Forecast } from '../../forecast/model.ts';
import { dayClock } from '../../time/format.ts';
import { departures } from '../../timetable/departures.ts';
import type { TripState } from '../../trip/state.ts';
import { riskWords } from './odds.ts';

/** `On the boat 13:40 (cautious 15:20). Having to walk out: 1 in 10.`; the cautious end may be a walk. */
export function shuttleWords(
  state: TripState,
  { shuttle, boarding }: Pick<Forecast, 'shuttle' | 'boarding'>,
  nowMs: number,
): string | undefined {
  if (shuttle === undefined || boarding === undefined || state.shuttle === undefined) return;
  const { name, timetable } = state.shuttle;
  const leaves = (ms: number) =>
    Number.isFinite(ms) && departures(timetable, ms, ms + 1).length > 0;
  const at = (ms: number) =>
    Number.isFinite(ms) ? dayClock(state.zone, ms, nowMs) : 'not within a week';
  const { q50, q90 } = boarding;
  const walk =
    shuttle.chanceWalk < 0.01 ? '' : ` Having to walk out: ${riskWords(shuttle.chanceWalk)}.`;
  if (!leaves(q50)) {
    return Number.isFinite(q50)
      ? `On foot, out by ${at(q50)} (cautious ${at(q90)}).${walk}`
      : `No ${name} within a week.`;
  }
  if (q50 === q90) return `On the ${name} ${at(q50)}.${walk}`;
  if (leaves(q90) || !Number.isFinite(q90)) {
    return `On the ${name} ${at(q50)} (cautious ${at(q90)}).${walk}`;
  }
  return `On the ${name} ${at(q50)} (cautious: on foot, out by ${at(q90)}).${walk}`;
}
