import { type Hours, timesIn } from '../../say/hours.ts';
import { clock, dayMonth, WEEKDAYS } from '../../time/format.ts';
import { addLocalDays, firstInstantOf, localDay, wallTime } from '../../time/zone.ts';

const HOUR_MS = 3_600_000;

export interface Tick {
  atMs: number;
  label: string;
}

/** Hours between ticks that read well. */
const STEPS_H = [1, 2, 3, 6, 12, 24] as const;

/**
 * Ticks at whole local hours, at most `max` of them, across a clock change too: an hour that does
 * not exist has its tick at the change, and no instant has two.
 */
export function hourTicks(
  { zone, hours: by }: { zone: string; hours?: Hours },
  fromMs: number,
  toMs: number,
  max: number,
): Tick[] {
  const hours = (toMs - fromMs) / HOUR_MS;
  const stepH = STEPS_H.find((step) => hours / step <= max) ?? 24;
  const ticks = new Map<number, Tick>();
  for (const day of daysIn(zone, fromMs, toMs)) {
    for (let hour = 0; hour < 24; hour += stepH) {
      const atMs = firstInstantOf(zone, { ...day, hour, minute: 0 });
      if (atMs >= fromMs && atMs <= toMs)
        ticks.set(atMs, { atMs, label: timesIn(by, clock(zone, atMs)) });
    }
  }
  return [...ticks.values()];
}

/** Midnights inside the span. */
export function midnights(zone: string, fromMs: number, toMs: number): number[] {
  return daysIn(zone, fromMs, toMs)
    .map((day) => firstInstantOf(zone, { ...day, hour: 0, minute: 0 }))
    .filter((atMs) => atMs > fromMs && atMs < toMs);
}

/** `Thu 12 Jun`. */
export function dayLabel(zone: string, atMs: number): string {
  const wall = wallTime(zone, atMs);
  return `${WEEKDAYS[wall.weekday - 1]} ${dayMonth(wall)}`;
}

function daysIn(zone: string, fromMs: number, toMs: number) {
  const days = [];
  const last = firstInstantOf(zone, { ...localDay(zone, toMs), hour: 0, minute: 0 });
  let day = localDay(zone, fromMs);
  // A picture spans days, not years; the bound keeps a wrong clock from running on for ever.
  for (let i = 0; i < 40; i++) {
    days.push(day);
    if (firstInstantOf(zone, { ...day, hour: 0, minute: 0 }) >= last) break;
    day = addLocalDays(day, 1);
  }
  return days;
}
