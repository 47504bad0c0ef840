import { quote } from '../time/duration.ts';
import { describeService } from './describe.ts';
import { scanClause, type TypedClause } from './scan.ts';
import type { Service, Timetable } from './timetable.ts';

const MAX_TEXT = 1000;
const MAX_CLAUSES = 20;
const MAX_A_DAY = 500;
const DAY_S = 86_400;
/** A time before this, when it follows one after noon, belongs to the night after. */
const NIGHT_S = 4 * 3600;

/** A timetable with what was understood, or a sentence on what could not be. */
export type TypedResult =
  | { ok: true; timetable: Timetable; readAs: string[] }
  | { ok: false; message: string };

/**
 * Reads a timetable as people copy it from a board: "first 06:20, last 18:40, every 20 min,
 * 1 May–12 Oct, not Sundays", or "06:20, 08:00, 11:30; Sat 09:00". Parts with times of their own are
 * put apart with `;`. `readAs` says what was understood, one line a part, to be confirmed.
 *
 * @param zone zone of the tz database that the board's clock keeps
 */
export function parseTimetable(text: string, zone: string): TypedResult {
  const refuse = (message: string): TypedResult => ({ ok: false, message });
  if (text.length > MAX_TEXT) return refuse(`No more than ${MAX_TEXT} characters.`);
  const clauses: TypedClause[] = [];
  for (const part of text.split(/[;\n]/).filter((each) => each.trim() !== '')) {
    const scanned = scanClause(part);
    if ('message' in scanned) return refuse(scanned.message);
    const before = clauses[clauses.length - 1];
    if (hasTimes(scanned)) clauses.push(scanned);
    // A part that only speaks of days goes with the times before it.
    else if (before) Object.assign(before, mergeDays(before, scanned));
    else return refuse(`No times in "${quote(part)}". ${HOW}`);
  }
  if (clauses.length === 0) return refuse(`No times. ${HOW}`);
  if (clauses.length > MAX_CLAUSES) return refuse(`No more than ${MAX_CLAUSES} parts.`);

  const services: Service[] = [];
  for (const clause of clauses) {
    const service = serviceOf(clause, defaultWeekdays(clauses));
    if ('message' in service) return refuse(service.message);
    services.push(service);
  }
  const label = text.trim().replace(/\s+/g, ' ').slice(0, 300);
  return {
    ok: true,
    timetable: { zone, clock: 'wall', label, services },
    readAs: services.map(describeService),
  };
}

const HOW =
  'Write it like "first 06:20, last 18:40, every 20 min", or list the times: "06:20, 08:00".';

function hasTimes(clause: TypedClause): boolean {
  const { times, spans, firstS, lastS, everyS } = clause;
  return times.length + spans.length > 0 || (firstS ?? lastS ?? everyS) !== undefined;
}

function mergeDays(into: TypedClause, more: TypedClause): Partial<TypedClause> {
  const weekdays = more.weekdays ?? into.weekdays;
  const season = more.season ?? into.season;
  return {
    ...(weekdays ? { weekdays } : {}),
    ...(season ? { season } : {}),
    notWeekdays: [...into.notWeekdays, ...more.notWeekdays],
    added: [...into.added, ...more.added],
    removed: [...into.removed, ...more.removed],
  };
}

/**
 * Weekdays of a part that names none: all but those that another part names. "06:20, 08:00; Sat 09:00"
 * has one departure on Saturday, not three, which is also the cautious reading.
 */
function defaultWeekdays(clauses: readonly TypedClause[]): number[] {
  const named = clauses.flatMap((clause) => clause.weekdays ?? []);
  const rest = [1, 2, 3, 4, 5, 6, 7].filter((weekday) => !named.includes(weekday));
  return rest.length > 0 ? rest : [1, 2, 3, 4, 5, 6, 7];
}

function serviceOf(clause: TypedClause, otherwise: number[]): Service | { message: string } {
  const times = timesOf(clause);
  if ('message' in times) return times;
  if (times.length > MAX_A_DAY) {
    return { message: `${times.length} departures a day. Check how often it runs.` };
  }
  const named = clause.weekdays ?? (clause.added.length > 0 ? [] : otherwise);
  const weekdays = once(named.filter((weekday) => !clause.notWeekdays.includes(weekday)));
  const [added, removed] = [once(clause.added), once(clause.removed)];
  if (weekdays.length === 0 && added.length === 0) {
    return { message: 'That leaves no day on which it runs. Check the weekdays.' };
  }
  return {
    ...(clause.season ? { season: clause.season } : {}),
    ...{ weekdays, added, removed, times, headways: [] },
  };
}

function once<T extends string | number>(values: readonly T[]): T[] {
  return [...new Set(values)].sort();
}

function timesOf(clause: TypedClause): number[] | { message: string } {
  const { firstS, lastS, everyS } = clause;
  const spans = [...clause.spans];
  const listed = [...clause.times];
  if (firstS !== undefined && lastS !== undefined) spans.push({ firstS, lastS });
  else if (firstS !== undefined) listed.unshift(firstS);
  else if (lastS !== undefined) listed.push(lastS);
  if (spans.length === 0 && everyS !== undefined) return { message: FROM_TO };
  if (spans.length > 0 && everyS === undefined) {
    // "First 06:20, 08:00, 11:30, last 18:40" is a list with two of its times named.
    if (clause.times.length === 0 || clause.spans.length > 0) return { message: HOW_OFTEN };
    return inOrder([firstS ?? 0, ...listed, lastS ?? 0]);
  }
  const found = new Set(inOrder(listed));
  for (const span of spans) {
    const endS = span.lastS < span.firstS ? span.lastS + DAY_S : span.lastS;
    for (let s = span.firstS; s < endS; s += everyS ?? DAY_S) found.add(s);
    // The last one stands on the board, so it goes even where the interval doesn't meet it.
    found.add(endS);
  }
  return [...found].sort((a, b) => a - b);
}

const FROM_TO =
  'From when to when? Say first and last, as in "first 06:20, last 18:40, every 20 min".';
const HOW_OFTEN = 'How often between first and last? Add "every 20 min", or list the times.';

/** Listed times, ascending; a small hour after one past noon is of the night after. */
function inOrder(listed: readonly number[]): number[] {
  let previous = 0;
  const placed = listed.map((time) => {
    previous = time < NIGHT_S && previous >= DAY_S / 2 ? time + DAY_S : time;
    return previous;
  });
  return [...new Set(placed)].sort((a, b) => a - b);
}
