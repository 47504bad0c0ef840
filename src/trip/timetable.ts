import { z } from 'zod';

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
    .array(z.strictObject({ fromS: seconds, toS: seconds, everyS: z.int().min(1) }))
    .max(500),
});

/**
 * When a shuttle leaves one stop in one direction: plain data, as it is stored in a trip.
 *
 * `clock` says how the seconds of a service day are counted. `wall`: by the wall clock, as a notice
 * board means it. `gtfs`: elapsed time from noon minus twelve hours, the rule of the GTFS reference,
 * which differs on the day of a clock change.
 */
export const timetableSchema = z.strictObject({
  zone: z.string().min(1).max(64),
  clock: z.enum(['wall', 'gtfs']),
  /** What people call it, or what they typed. */
  label: z.string().max(300),
  services: z.array(service).min(1).max(200),
});

/** A timetable of one stop and one direction. */
export type Timetable = z.infer<typeof timetableSchema>;
/** The departures of some of the days. */
export type Service = z.infer<typeof service>;
