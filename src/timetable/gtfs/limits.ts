/** Bounds on what a GTFS feed may cost. Ours, not the reference's; a shuttle's feed is far below them. */
export interface GtfsLimits {
  /** Size of the zip. */
  zipBytes: number;
  /** Files in the zip. */
  entries: number;
  /** Size of one file unpacked. */
  entryBytes: number;
  /** Unpacked size over packed size; tables of times reach about 20, a zip bomb 1,000. */
  packing: number;
  /** Length of one row. */
  rowBytes: number;
  /** Length of a name that is kept; longer ones are cut. */
  nameChars: number;
  stops: number;
  routes: number;
  trips: number;
  /** Pairs of stop and route in the listing. */
  calls: number;
  /** Rows of stop_times.txt kept while one route's timetable is made. */
  timesKept: number;
  /** Rows of calendar.txt, calendar_dates.txt and frequencies.txt, each. */
  calendarRows: number;
}

/** The bounds that hold for a feed somebody attaches. */
export const GTFS_LIMITS: GtfsLimits = {
  zipBytes: 32 * 2 ** 20,
  entries: 200,
  entryBytes: 512 * 2 ** 20,
  packing: 150,
  rowBytes: 64 * 2 ** 10,
  nameChars: 200,
  stops: 50_000,
  routes: 10_000,
  trips: 400_000,
  calls: 200_000,
  timesKept: 200_000,
  calendarRows: 200_000,
};
