import { Refusal } from '../say/refusal.ts';
import { readTime } from '../time/read.ts';

/**
 * A time of day without its day, as the record holds it: `6:00`, `600`, `0600` and `6am` become `06:00`.
 *
 * @throws Refusal naming the option, with an example
 */
export function clockTime(option: string, typed: string, like: string): string {
  const bare = typed.trim().toLowerCase();
  const read = readTime(/^\d{3}$/.test(bare) ? `0${bare}` : bare);
  const { hour, minute, secondMs, offsetMin } = read ?? { hour: 99, minute: 0, secondMs: 0 };
  if (hour > 23 || minute > 59 || secondMs !== 0 || offsetMin !== undefined) {
    throw new Refusal('unreadable-value', `${option}: ${typed} isn't a clock time like ${like}.`);
  }
  return `${String(hour).padStart(2, '0')}:${String(minute).padStart(2, '0')}`;
}
