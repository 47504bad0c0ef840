/** Longest duration anyone may type: fourteen days. */
const MAX_MIN = 14 * 24 * 60;

export type DurationResult = { ok: true; min: number } | { ok: false; message: string };

const UNIT_MIN: Record<string, number> = { d: 1440, h: 60, m: 1 };
const DAY_WORDS = 'days|day|d';
const HOUR_WORDS = 'hours|hour|hrs|hr|h';
const MINUTE_WORDS = 'minutes|minute|mins|min|m';
const PART = new RegExp(`^(\\d+(?:[.,]\\d+)?) ?(${DAY_WORDS}|${HOUR_WORDS}|${MINUTE_WORDS})? ?`);

/**
 * Minutes of a length of time as people type it: `1h30m`, `1 h 30`, `90 min`, `1:30`, `1.5h`, `1d 4h`.
 * A bare number is refused, because 2 may be minutes or hours.
 */
export function parseDuration(text: string): DurationResult {
  const min = durationMin(text);
  if (min === undefined) {
    return { ok: false, message: `Can't read "${quote(text)}" as a length of time. ${FORMS}` };
  }
  if (min > MAX_MIN) return { ok: false, message: 'That is longer than 14 days. Check the unit.' };
  return { ok: true, min };
}

const FORMS = 'Write it like 1h30m, 90 min or 1:30.';

/** Minutes of a length of time, or undefined where it isn't one. Not capped. */
export function durationMin(text: string): number | undefined {
  const tidy = text.trim().toLowerCase().replace(/\s+/g, ' ');
  const colon = /^(\d{1,3}):([0-5]\d)$/.exec(tidy);
  if (colon) return Number(colon[1]) * 60 + Number(colon[2]);

  let rest = tidy;
  let total = 0;
  let lastUnitMin = Number.POSITIVE_INFINITY;
  while (rest !== '') {
    const part = PART.exec(rest);
    if (!part) return undefined;
    // Units go from large to small, each once; minutes after hours may go without their unit.
    const unitMin = part[2] ? UNIT_MIN[part[2][0] ?? ''] : lastUnitMin === 60 ? 1 : undefined;
    if (unitMin === undefined || unitMin >= lastUnitMin) return undefined;
    total += Number(part[1]?.replace(',', '.')) * unitMin;
    lastUnitMin = unitMin;
    rest = rest.slice(part[0].length);
  }
  return lastUnitMin === Number.POSITIVE_INFINITY ? undefined : Math.round(total);
}

/** What was typed, short and on one line, fit to be repeated in an answer. */
export function quote(text: string): string {
  const tidy = text.trim().replace(/[\s`"]+/g, ' ');
  return tidy.length > 40 ? `${tidy.slice(0, 39)}…` : tidy;
}
