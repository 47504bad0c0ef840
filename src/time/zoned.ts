import { DateTime } from 'luxon';

/** An instant with its zone, for libraries that write local times themselves. Nothing is resolved here. */
export function zoned(zone: string, ms: number): DateTime {
  return DateTime.fromMillis(ms, { zone });
}
