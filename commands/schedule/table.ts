import type { CheckpointStanding } from '../../src/forecast/schedule.ts';
import type { Table } from '../../src/say/reply.ts';
import { clock, dayClock, dayMonth, WEEKDAYS } from '../../src/time/format.ts';
import { daysBetween, type LocalDay, localDay, weekdayOf } from '../../src/time/zone.ts';

const HEAD = ['', 'planned', 'latest', 'actual', 'late', 'margin'] as const;

/**
 * A schedule as a table narrow enough for a phone: a row with the day above the first checkpoint
 * planned for it, and the weekday only on times of another day.
 *
 * @param columns 3 for a plan alone, 6 with how it goes
 */
export function scheduleTable(
  zone: string,
  standings: readonly CheckpointStanding[],
  columns: 3 | 6,
  nowMs: number,
): { table: Table } {
  const rows: string[][] = [];
  const today = localDay(zone, nowMs);
  let above = today;
  for (const c of standings) {
    const day = localDay(zone, c.plannedMs);
    if (daysBetween(above, day) !== 0) rows.push([dayName(day, today)]);
    above = day;
    const at = (ms: number) => timeOn(zone, ms, day);
    const happened =
      c.actualMs !== undefined
        ? at(c.actualMs)
        : c.projectedMs === undefined || !Number.isFinite(c.projectedMs)
          ? '-'
          : `~${at(c.projectedMs)}`;
    const row = [
      String(c.pitch),
      at(c.plannedMs),
      c.latestMs === undefined ? '-' : at(c.latestMs),
      happened,
      signed(lateOf(c), '+'),
      signed(between(c.actualMs ?? c.projectedMs, c.latestMs), ''),
    ];
    rows.push(row.slice(0, columns));
  }
  const head = HEAD.slice(0, columns);
  return { table: { head, align: HEAD.map(() => 'right'), durations: [4, 5], rows } };
}

function dayName(day: LocalDay, today: LocalDay): string {
  const weekday = WEEKDAYS[weekdayOf(day) - 1] ?? '';
  return Math.abs(daysBetween(today, day)) <= 3 ? weekday : `${weekday} ${dayMonth(day)}`;
}

/** The clock alone on the day of its row, else with the weekday. */
function timeOn(zone: string, ms: number, day: LocalDay): string {
  if (daysBetween(localDay(zone, ms), day) === 0) return clock(zone, ms);
  // From this near the weekday alone is clear.
  const near = Math.abs(daysBetween(localDay(zone, ms), day)) <= 3;
  return near
    ? `${WEEKDAYS[weekdayOf(localDay(zone, ms)) - 1]} ${clock(zone, ms)}`
    : dayClock(zone, ms, ms + 7 * 86_400_000);
}

/** Late in planned climbing: as the clock shows it, less the planned nights between. */
function lateOf({ plannedMs, actualMs, projectedMs, lateMin }: CheckpointStanding) {
  const byClock = between(plannedMs, actualMs ?? projectedMs);
  if (byClock === undefined || lateMin === undefined) return byClock;
  return Math.abs(byClock - lateMin) < 1 ? byClock : Math.round(lateMin);
}

/** Whole minutes between two times as the clock shows them, so that a reader can check the table. */
function between(fromMs: number | undefined, toMs: number | undefined): number | undefined {
  if (fromMs === undefined || toMs === undefined) return undefined;
  return Math.floor(toMs / 60_000) - Math.floor(fromMs / 60_000);
}

/** Minutes as hours and minutes, `-1:05`, so that 57 is never read as an hour's part or a clock. */
function signed(min: number | undefined, plus: '+' | ''): string {
  if (min === undefined || !Number.isFinite(min)) return '-';
  if (min === 0) return '0:00';
  const size = Math.abs(min);
  const minutes = String(size % 60).padStart(2, '0');
  return `${min < 0 ? '-' : plus}${Math.floor(size / 60)}:${minutes}`;
}
