import { dayMonth } from '../time/format.ts';
import { wallTime } from '../time/zone.ts';
import { openTroubles } from '../trip/conditions.ts';
import type { TripState } from '../trip/state.ts';
import { alarmStands } from './weaker.ts';

const DAY_MS = 86_400_000;

/** Whether somebody may still be out, or something stands that a record is needed for. */
export function stillNeeded(state: TripState): boolean {
  const out = state.departedAtMs !== undefined && state.downAtMs === undefined;
  return out || openTroubles(state).length > 0 || alarmStands(state);
}

/** Days that this trip's record is kept after its last word. */
export function keptDays(state: TripState, keepDays: number): number {
  return Math.min(keepDays, state.settings.keepDays ?? keepDays);
}

/**
 * When a trip's record erases itself, epoch milliseconds: so many days after the last thing that was told or is
 * planned for. Undefined while somebody is out by the record, an alarm stands or trouble is open.
 *
 * @param keepDays as whoever runs the bot has set it
 */
export function erasesAtMs(state: TripState, keepDays: number): number | undefined {
  if (stillNeeded(state)) return undefined;
  const { topoutMs = 0, downMs = 0, calloutMs = 0 } = state.watch.plan;
  // A plan for next summer is no old record.
  const planned = state.departedAtMs === undefined ? Math.max(topoutMs, downMs, calloutMs) : 0;
  const told = state.entries.reduce((last, { event }) => Math.max(last, event.recordedAtMs), 0);
  return Math.max(told, planned, firstDayMs(state)) + keptDays(state, keepDays) * DAY_MS;
}

function firstDayMs({ settings, departedAtMs }: TripState): number {
  const day = departedAtMs === undefined ? settings.firstDay : undefined;
  return day === undefined ? 0 : Date.parse(`${day}T00:00:00Z`);
}

/** The day on which a record erases itself, in its own zone: `4 Sep 2031`. */
export function eraseDay({ zone }: Pick<TripState, 'zone'>, atMs: number): string {
  const wall = wallTime(zone, atMs);
  return `${dayMonth(wall)} ${wall.year}`;
}
