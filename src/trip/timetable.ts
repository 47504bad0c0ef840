import { z } from 'zod';
import { isZone } from '../time/zone.ts';

/** Runs on one day that a timetable may have: one a minute round the clock. Ours, not the trade's. */
export const RUNS_A_DAY = 1440;
/** Runs closer than this are listed one a minute: nobody waits longer than that for one. */
export const HEADWAY_MIN_S = 60;
/** Days named singly in all services together. */
const NAMED_DAYS = 4000;

/** `2031-05-01`, or `05-01` for that day of every year. */
const dayText = z.string().regex(/^(\d{4}-)?(0[1-9]|1[0-2])-(0[1-9]|[12]\d|3[01])$/);

/** Longest service day: a departure may be written up to 72 h after its day began. */
const seconds = z
  .int()
  .min(0)
  .max(72 * 3600);

const service = z.strictObject({
  /** First and last day, both included; out of season nothing runs but `added`. From > to runs over new year. */
  season: z.strictObject({ from: dayText, to: dayText }).optional(),
  /** ISO weekdays, Monday 1. */
  weekdays: z.array(z.int().min(1).max(7)).max(7),
  /** Days it runs besides, and days it doesn't run though the rest says so. */
  added: z.array(dayText).max(800),
  removed: z.array(dayText).max(800),
  /** Departures in seconds of the service day, ascending. */
  times: z.array(seconds).max(3000),
  /** Runs without fixed departures: one every so often between two times of the service day. */
  headways: z
    .array(z.strictObject({ fromS: seconds, toS: seconds, everyS: z.int().min(HEADWAY_MIN_S) }))
    .max(500),
});

/**
 * When a shuttle leaves one stop in one direction: plain data, as it is stored in a trip.
 *
 * `clock` says how the seconds of a service day are counted. `wall`: by the wall clock, as a notice
 * board means it. `gtfs`: elapsed time from noon minus twelve hours, the rule of the GTFS reference,
 * which differs on the day of a clock change.
 */
export const timetableSchema = z
  .strictObject({
    zone: z.string().min(1).max(64).refine(isZone, 'not a zone of the tz database'),
    clock: z.enum(['wall', 'gtfs']),
    /** What people call it, or what they typed. */
    label: z.string().max(300),
    services: z.array(service).min(1).max(200),
  })
  .superRefine(({ services }, context) => {
    const message = tooMuch(services);
    if (message !== undefined) context.addIssue({ code: 'custom', path: ['services'], message });
  });

/** A timetable of one stop and one direction. */
export type Timetable = z.infer<typeof timetableSchema>;
/** The departures of some of the days. */
export type Service = z.infer<typeof service>;

/** Why a timetable is more than is worked through when somebody asks for the next one; undefined when it isn't. */
function tooMuch(services: readonly Service[]): string | undefined {
  let named = 0;
  // Whatever the seasons: all that may run on one weekday, and on a day that is named.
  const byDay = new Map<string, number>();
  for (const service of services) {
    const runs = runsOf(service);
    named += service.added.length + service.removed.length;
    if (named > NAMED_DAYS) return `more than ${NAMED_DAYS} single days`;
    for (const day of [...new Set(service.weekdays.map(String)), ...new Set(service.added)]) {
      byDay.set(day, (byDay.get(day) ?? 0) + runs);
    }
  }
  const most = Math.max(0, ...byDay.values());
  return most > RUNS_A_DAY ? `more than ${RUNS_A_DAY} departures a day` : undefined;
}

function runsOf({ times, headways }: Service): number {
  return headways.reduce(
    (sum, { fromS, toS, everyS }) => sum + Math.max(0, Math.ceil((toS - fromS) / everyS)),
    times.length,
  );
}

/** A timetable as an older release kept it, with runs a second apart, in today's bounds. */
export function upcastTimetable(data: unknown): unknown {
  const old = data as { services?: { headways?: { everyS?: unknown }[] }[] };
  if (!Array.isArray(old?.services)) return data;
  const close = (every: unknown) =>
    typeof every === 'number' && every >= 1 && every < HEADWAY_MIN_S;
  const hasClose = old.services.some((s) => s?.headways?.some?.((h) => close(h?.everyS)));
  if (!hasClose) return data;
  const services = old.services.map((s) => ({
    ...s,
    headways: s.headways?.map((h) => (close(h.everyS) ? { ...h, everyS: HEADWAY_MIN_S } : h)),
  }));
  return { ...old, services };
}
