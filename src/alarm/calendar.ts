import ical, {
  ICalAlarmType,
  type ICalCalendar,
  ICalCalendarMethod,
  ICalEventRepeatingFreq,
  ICalEventStatus,
} from 'ical-generator';
import { tzlib_get_ical_block } from 'timezones-ical-library';
import { ENGLISH, type Words } from '../say/contact/words.ts';
import { bare } from '../say/message.ts';
import { zoned } from '../time/zoned.ts';
import { promisedFor } from '../trip/kinds/acts.ts';
import { present, type TripState } from '../trip/state.ts';
import { nextNight, watched } from './expectations.ts';
import { numberIn, partyIn } from './words/home.ts';

/** Shown in a calendar as a block of this length, so that it can be seen at all. */
const SHOWN_MS = 15 * 60_000;

/** Alarms ring this long before, so that there is time to ask, and at the time. Engineering choice. */
const AHEAD_S = [30 * 60, 0];

/** One event of the calendar file. Times are epoch milliseconds. */
export interface Entry {
  /** Part of the UID; the same thing keeps it whatever its time. */
  id: string;
  atMs: number;
  summary: string;
  description: string;
  cancelled?: true;
  /** Every day until then, at the same local time. */
  dailyUntilMs?: number;
}

/** What a calendar file needs beside the trip. */
export interface CalendarOptions {
  nowMs: number;
  /** Mail address of whoever runs this, for ORGANIZER, which RFC 5546 wants in every message. */
  organizer: string;
  /** What its reader reads; English where it is left out. */
  w?: Words;
}

/** Whether the file publishes times or takes them away again (RFC 5546, 3.2.1 and 3.2.5). */
export function calendarMethod(state: TripState): 'PUBLISH' | 'CANCEL' {
  return watched(state) ? 'PUBLISH' : 'CANCEL';
}

/**
 * The agreed times as an RFC 5545 file: alarms at the due times and at the call-out time. A UID stays
 * with what it means, SEQUENCE is the record's own number and so rises with every change; a promise
 * that was taken back is sent as cancelled. Undefined when no time was ever set.
 */
export function calendarFile(
  state: TripState,
  options: CalendarOptions,
  method = calendarMethod(state),
): string | undefined {
  const w = options.w ?? ENGLISH;
  const entries = entriesOf(state, w);
  if (entries.length === 0) return undefined;
  const rules = zoneRules(state.zone);
  const calendar = ical({
    prodId: { company: 'tagline', product: 'watch', language: w.language.toUpperCase() },
    method: ICalCalendarMethod[method],
    // The calendar itself has no zone, its entries have: with one, the library writes DTSTAMP and UNTIL
    // as local times, which RFC 5545 forbids (3.8.7.2, 3.3.10).
    timezone: { name: null, generator: () => rules },
  });
  for (const entry of entries)
    addEntry(calendar, state, entry, {
      ...options,
      off: method === 'CANCEL',
      local: rules !== null,
    });
  return calendar.toString();
}

/**
 * The zone's rules under the name the entries use: the library answers an alias with its target's. UTC and
 * zones newer than the library have none: their times are written in UTC.
 */
function zoneRules(zone: string): string | null {
  const [block] = zone === 'UTC' ? [] : tzlib_get_ical_block(zone);
  if (block?.includes('BEGIN:VTIMEZONE') !== true) return null;
  return block.replace(/^(TZID|X-LIC-LOCATION):.*$/gmu, `$1:${zone}`);
}

function addEntry(
  calendar: ICalCalendar,
  state: TripState,
  entry: Entry,
  { nowMs, organizer, local, ...all }: CalendarOptions & { off: boolean; local: boolean },
): void {
  const off = all.off || entry.cancelled === true;
  const at = (ms: number) => (local ? zoned(state.zone, ms) : new Date(ms));
  const event = calendar.createEvent({
    id: `${state.id}-${entry.id}@tagline`,
    sequence: state.seq,
    stamp: new Date(nowMs),
    start: at(entry.atMs),
    end: at(entry.atMs + SHOWN_MS),
    ...(local ? { timezone: state.zone } : {}),
    summary: bare(entry.summary),
    description: entry.description.split('\n').map(bare).join('\n'),
    status: off ? ICalEventStatus.CANCELLED : ICalEventStatus.CONFIRMED,
    organizer: { name: 'tagline', email: organizer },
    ...(state.place.name === undefined ? {} : { location: bare(state.place.name) }),
  });
  if (entry.dailyUntilMs !== undefined) {
    event.repeating({ freq: ICalEventRepeatingFreq.DAILY, until: new Date(entry.dailyUntilMs) });
  }
  if (off) return;
  for (const beforeS of AHEAD_S) {
    event.createAlarm({
      type: ICalAlarmType.display,
      trigger: beforeS,
      description: bare(entry.summary),
    });
  }
}

/** Two nights beyond the last agreed time, or ten days, whichever is known. */
const NIGHTS_MS = 10 * 24 * 3_600_000;

function entriesOf(state: TripState, w: Words): Entry[] {
  const { watch } = state;
  const { plan } = watch;
  const trip = state.name;
  const whose = partyIn({ w, state });
  const phones = phonesOf(state) ?? w.text('calendar.noPhones');
  const known: Entry[] = [];
  if (plan.downMs !== undefined) {
    known.push({
      id: 'down',
      atMs: plan.downMs,
      summary: w.text('calendar.down', { trip }),
      description: [
        w.text('calendar.downText', whose),
        w.text('calendar.downTry', { phones }),
      ].join('\n'),
    });
  }
  if (plan.calloutMs !== undefined) {
    known.push({
      id: 'callout',
      atMs: plan.calloutMs,
      summary: w.text('calendar.callout', { trip }),
      description: [
        w.text('calendar.calloutText', { party: whose.party, number: numberIn(w, state) }),
        w.text('calendar.calloutTell', { trip, count: whose.count, phones }),
        w.text('calendar.note'),
      ].join('\n'),
    });
  }
  return [...known, ...checkinEntries(state, w), ...takenBack(state, w)];
}

function phonesOf(state: TripState): string | undefined {
  const all = present(state).flatMap((p) =>
    p.phone === undefined ? [] : [`${p.name} ${p.phone}`],
  );
  return all.length === 0 ? undefined : all.join(', ');
}

function checkinEntries(state: TripState, w: Words): Entry[] {
  const { promises, nightly, plan } = state.watch;
  const trip = state.name;
  const description = w.text('calendar.checkinText', partyIn({ w, state }));
  const entries = promises.map(
    (p): Entry => ({
      id: `checkin-${p.seq}`,
      atMs: p.dueMs,
      summary: w.text('calendar.checkin', { trip }),
      description:
        p.about === undefined
          ? description
          : `${description}\n${w.text('calendar.about', { about: p.about })}`,
    }),
  );
  if (nightly === undefined) return entries;
  const fromMs = Math.max(nightly.sinceMs, state.departedAtMs ?? 0);
  const atMs = nextNight(state.zone, nightly.clock, fromMs);
  const lastMs = plan.calloutMs ?? plan.downMs ?? atMs + NIGHTS_MS;
  if (lastMs < atMs) return entries;
  return [
    ...entries,
    {
      id: 'nightly',
      atMs,
      summary: w.text('calendar.nightly', { trip }),
      description,
      dailyUntilMs: lastMs,
    },
  ];
}

/** Promises struck and times taken away since: a calendar that holds them must drop them. */
function takenBack(state: TripState, w: Words): Entry[] {
  const dropped = (id: string, atMs: number): Entry => ({
    id,
    atMs,
    summary: w.text('calendar.dropped', { trip: state.name }),
    description: '',
    cancelled: true,
  });
  const struck = state.entries.flatMap(({ event, struckBy }): Entry[] => {
    const dueMs = promisedFor(event);
    return dueMs === undefined || struckBy === undefined
      ? []
      : [dropped(`checkin-${event.seq}`, dueMs)];
  });
  const away = (['downMs', 'calloutMs'] as const).flatMap((what): Entry[] => {
    const last = state.watch.moved.findLast((m) => m.what === what);
    if (state.watch.plan[what] !== undefined || last === undefined) return [];
    return [dropped(what.replace('Ms', ''), last.fromMs)];
  });
  return [...struck, ...away];
}
