import { dayMonth, WEEKDAYS } from '../time/format.ts';
import type { Service } from './timetable.ts';

const SHOWN_TIMES = 8;
const DAY_S = 86_400;

/** A service in a line, for people to confirm: times first, then season, weekdays and exceptions. */
export function describeService(of: Service): string {
  const parts = [describeTimes(of.times)];
  for (const { fromS, toS, everyS } of of.headways) {
    parts.push(`${time(fromS)} to ${time(toS)} about every ${Math.round(everyS / 60)} min`);
  }
  if (of.season) parts.push(describeSeason(of.season));
  if (of.weekdays.length > 0) parts.push(describeWeekdays(of.weekdays));
  if (of.added.length > 0) parts.push(`${of.weekdays.length > 0 ? 'also ' : ''}${days(of.added)}`);
  if (of.removed.length > 0) parts.push(`not ${days(of.removed)}`);
  return parts.filter((part) => part !== '').join(', ');
}

function describeTimes(times: readonly number[]): string {
  if (times.length <= SHOWN_TIMES) return times.map(time).join(', ');
  const [first, last] = [times[0]!, times[times.length - 1]!];
  const step = times[1]! - first;
  const even = (upTo: number) => times.slice(1, upTo).every((s, i) => s - times[i]! === step);
  const count = `(${times.length} a day)`;
  if (even(times.length)) return `${time(first)} to ${time(last)} every ${step / 60} min ${count}`;
  const before = times[times.length - 2]!;
  if (even(times.length - 1)) {
    return `${time(first)} to ${time(before)} every ${step / 60} min, and ${time(last)} ${count}`;
  }
  return `${time(first)} to ${time(last)} ${count}`;
}

function time(s: number): string {
  const pad = (value: number) => String(value).padStart(2, '0');
  const inDay = s % DAY_S;
  const clock = `${pad(Math.floor(inDay / 3600))}:${pad(Math.floor((inDay % 3600) / 60))}`;
  return s < DAY_S ? clock : `${clock} the night after`;
}

function describeSeason({ from, to }: { from: string; to: string }): string {
  if (from === '1900-01-01') return `until ${day(to)}`;
  if (to === '2200-12-31') return `from ${day(from)}`;
  return `${day(from)}–${day(to)}`;
}

function describeWeekdays(weekdays: readonly number[]): string {
  const set = [...new Set(weekdays)].sort((a, b) => a - b);
  const names = (list: number[]) => list.map((weekday) => WEEKDAYS[weekday - 1]).join(', ');
  const missing = [1, 2, 3, 4, 5, 6, 7].filter((weekday) => !set.includes(weekday));
  if (missing.length === 0) return 'daily';
  if (missing.length <= 2 && missing.join() !== '6,7') return `not ${names(missing)}`;
  return missing.join() === '6,7' ? 'Mon–Fri' : names(set);
}

function days(list: readonly string[]): string {
  const shown = list.slice(0, 6).map(day).join(', ');
  return list.length > 6 ? `${shown} and ${list.length - 6} more` : shown;
}

function day(key: string): string {
  const [monthText, dayText] = key.slice(-5).split('-');
  const text = dayMonth({ month: Number(monthText), day: Number(dayText) });
  return key.length > 5 ? `${text} ${key.slice(0, 4)}` : text;
}
