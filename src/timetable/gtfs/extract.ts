import { addLocalDays, daysBetween, type LocalDay } from '../../time/zone.ts';
import {
  dayKey,
  HEADWAY_MIN_S,
  RUNS_A_DAY,
  runsOn,
  type Service,
  type Timetable,
  timetableSchema,
} from '../timetable.ts';
import { readCalendar, type ServiceDays } from './calendar.ts';
import { cut } from './fields.ts';
import { type Frequency, readFrequencies } from './frequencies.ts';
import { GTFS_LIMITS, type GtfsLimits } from './limits.ts';
import { FeedError, type FeedResult, readingFeed } from './refusal.ts';
import { readRoutes, readStops, readTrips, readZone } from './tables.ts';
import { readTripTimes, type TripTimes } from './trip-times.ts';
import { type FeedZip, openFeed } from './zip.ts';

/** Longest span of days that is taken out of a feed. */
export const MAX_SPAN_DAYS = 120;

/** Of the signs on the front, so many are named. */
const HEADSIGNS = 2;

/** What is taken out of a feed: one stop, one route, a span of days. */
export interface FeedChoice {
  /** A stop, or a station with all its platforms. */
  stopId: string;
  routeId: string;
  /** Left out for trips in any direction. */
  direction?: 0 | 1;
  /** Only trips that say this in front; for feeds without directions. */
  headsign?: string;
  /** First and last service day, both included. */
  from: LocalDay;
  to: LocalDay;
}

/** What came out of a feed. */
export interface Extract {
  timetable: Timetable;
  /** What people should know of it, a sentence each. */
  notes: string[];
}

/**
 * The departures of one route from one stop out of a GTFS Schedule feed, as a timetable small enough
 * to be stored in a trip. Times follow the GTFS reference: zone of the agency, seconds from noon
 * minus twelve hours, past 24:00:00 on the service day they belong to.
 *
 * @param bytes the feed's zip
 */
export function extractTimetable(
  bytes: Uint8Array,
  choice: FeedChoice,
  limits: GtfsLimits = GTFS_LIMITS,
): Promise<FeedResult<Extract>> {
  return readingFeed(async () => {
    const span = daysBetween(choice.from, choice.to);
    if (span < 0 || span >= MAX_SPAN_DAYS) {
      throw new FeedError({ reason: `Choose 1 to ${MAX_SPAN_DAYS} days.` });
    }
    const zip = await openFeed(bytes, limits);
    const zone = await readZone(zip, limits);
    const { stopIds, stopName } = await chosenStops(zip, limits, choice.stopId);
    const { trips, routeName, headsigns } = await chosenTrips(zip, limits, choice);
    const wanted = (tripId: string) => trips.has(tripId);
    const frequencies = await readFrequencies(zip, limits, wanted);
    const times = await readTripTimes(zip, limits, wanted, (stopId) => stopIds.has(stopId));
    const services = new Map<string, Draft>();
    for (const [tripId, { serviceId }] of trips) {
      const ofTrip = times.get(tripId);
      if (!ofTrip || ofTrip.departures.length === 0) continue;
      const draft = services.get(serviceId) ?? newDraft();
      services.set(serviceId, draft);
      addTrip(draft, ofTrip, frequencies.get(tripId));
    }
    const ids = new Set(services.keys());
    const calendar = await readCalendar(zip, limits, (id) => ids.has(id));
    for (const { serviceId, line } of trips.values()) {
      if (ids.has(serviceId) && !calendar.services.has(serviceId)) {
        const reason = `service_id ${cut(serviceId)} is in neither calendar.txt nor calendar_dates.txt.`;
        throw new FeedError({ file: 'trips.txt', line, reason });
      }
    }
    const done = [...services].flatMap(([id, draft]) =>
      toService(draft, calendar.services.get(id)!, choice),
    );
    if (done.length === 0) {
      throw new FeedError({ reason: nothing(choice, services.size > 0, calendar.covers) });
    }
    const sign = headsigns.join(' / ');
    const label = `${stopName}, ${routeName}${sign === '' ? '' : `, ${sign}`}`.slice(0, 300);
    const timetable: Timetable = { zone, clock: 'gtfs', label, services: done };
    const checked = timetableSchema.safeParse(timetable);
    if (!checked.success) {
      const reason =
        'This route leaves from there on too many kinds of days, or too often, to be kept. A way it goes, or another stop, makes less of it.';
      throw new FeedError({ reason });
    }
    return { timetable: checked.data, notes: notesOf([...services.values()], done) };
  });
}

async function chosenStops(zip: FeedZip, limits: GtfsLimits, stopId: string) {
  const stops = await readStops(zip, limits);
  const stop = stops.get(stopId);
  if (!stop) throw new FeedError({ file: 'stops.txt', reason: `No stop ${cut(stopId)}.` });
  const inside = [...stops.values()].filter(({ parent }) => parent === stopId);
  return { stopIds: new Set([stopId, ...inside.map(({ id }) => id)]), stopName: stop.name };
}

interface ChosenTrip {
  serviceId: string;
  line: number;
}

async function chosenTrips(zip: FeedZip, limits: GtfsLimits, choice: FeedChoice) {
  const routes = await readRoutes(zip, limits);
  const routeName = routes.get(choice.routeId);
  if (routeName === undefined) {
    throw new FeedError({ file: 'routes.txt', reason: `No route ${cut(choice.routeId)}.` });
  }
  const trips = new Map<string, ChosenTrip>();
  const headsigns: string[] = [];
  await readTrips(zip, limits, routes, ({ id, routeId, serviceId, direction, headsign, row }) => {
    if (routeId !== choice.routeId) return;
    if (choice.direction !== undefined && direction !== choice.direction) return;
    if (choice.headsign !== undefined && headsign !== choice.headsign) return;
    if (trips.has(id)) throw row.refuse(`trip_id ${cut(id)} comes twice.`);
    trips.set(id, { serviceId, line: row.line() });
    if (headsign === '' || headsigns.length >= HEADSIGNS || headsigns.includes(headsign)) return;
    headsigns.push(headsign);
  });
  return { trips, routeName, headsigns };
}

/** Departures of one service while they are gathered. */
interface Draft {
  times: Set<number>;
  headways: Service['headways'];
  arranged: boolean;
  estimated: boolean;
}

function newDraft(): Draft {
  return { times: new Set(), headways: [], arranged: false, estimated: false };
}

/** @throws FeedError for more departures than a day can have */
function addTrip(draft: Draft, of: TripTimes, frequencies: readonly Frequency[] | undefined): void {
  for (const { atS, arranged, estimated } of of.departures) {
    draft.arranged ||= arranged;
    draft.estimated ||= estimated;
    if (!frequencies) {
      draft.times.add(atS);
      assertRoom(draft);
      continue;
    }
    // A repeating trip's own times only say how long after its first stop it leaves here.
    const afterS = atS - of.firstS;
    for (const { fromS, toS, everyS, exact } of frequencies) {
      if (exact) {
        if ((toS - fromS) / everyS > RUNS_A_DAY) throw tooMany();
        for (let s = fromS; s < toS; s += everyS) draft.times.add(s + afterS);
      } else {
        const atLeastS = Math.max(everyS, HEADWAY_MIN_S);
        draft.headways.push({ fromS: fromS + afterS, toS: toS + afterS, everyS: atLeastS });
      }
      assertRoom(draft);
    }
  }
}

/** Before more is gathered than can be kept. */
function assertRoom({ times, headways }: Draft): void {
  if (times.size + headways.length > RUNS_A_DAY) throw tooMany();
}

function tooMany(): FeedError {
  return new FeedError({
    reason: `More than ${RUNS_A_DAY} departures a day at this stop; no shuttle has so many.`,
  });
}

/** The service within the days chosen; none when it doesn't run on any of them. */
function toService(draft: Draft, days: ServiceDays, { from, to }: FeedChoice): Service[] {
  const [first, last] = [dayKey(from), dayKey(to)];
  const inSpan = (key: string) => key >= first && key <= last;
  // Days as text sort as days.
  const season = {
    from: [days.from ?? first, first].sort()[1]!,
    to: [days.to ?? last, last].sort()[0]!,
  };
  const service: Service = {
    season,
    weekdays: season.from <= season.to ? days.weekdays : [],
    added: days.added.filter(inSpan),
    removed: days.removed.filter(inSpan),
    times: [...draft.times].sort((a, b) => a - b),
    headways: draft.headways,
  };
  // An empty season would read as one over new year.
  if (season.from > season.to) delete service.season;
  for (let day = from; daysBetween(day, to) >= 0; day = addLocalDays(day, 1)) {
    if (runsOn(service, day)) return [service];
  }
  return [];
}

function nothing(
  { from, to }: FeedChoice,
  stops: boolean,
  covers: { from: string; to: string } | undefined,
): string {
  if (!stops) return 'Nothing of this route and direction can be boarded at this stop.';
  const feed = covers ? ` The feed covers ${covers.from} to ${covers.to}.` : '';
  return `Nothing runs from ${dayKey(from)} to ${dayKey(to)}.${feed}`;
}

function notesOf(drafts: readonly Draft[], services: readonly Service[]): string[] {
  const notes: string[] = [];
  if (services.some(({ headways }) => headways.length > 0)) {
    notes.push(
      'Some runs have no fixed times, only so many minutes apart: allow one interval more.',
    );
  }
  if (drafts.some(({ arranged }) => arranged)) {
    notes.push('Some have to be arranged with the operator or the driver.');
  }
  if (drafts.some(({ estimated }) => estimated)) {
    notes.push(
      'Some times at this stop are not in the feed and are worked out from the stops around it.',
    );
  }
  return notes;
}
