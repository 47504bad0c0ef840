/** Files that somebody with bad intent would attach. Each is small enough to be taken, and costly to work through. */
import { GTFS_LIMITS } from '../../src/timetable/gtfs/limits.ts';
import { smallFeed, zipOf } from '../timetable/gtfs/feeds.ts';

const clock = (s: number) =>
  [Math.floor(s / 3600), Math.floor(s / 60) % 60, s % 60]
    .map((n) => String(n).padStart(2, '0'))
    .join(':');

/** A kilobyte of zip: runs a second apart, in twenty rows of three days and nights unless said otherwise. */
export function secondsApart(exact: 0 | 1 = 0, rows = 20, hours = 71): Uint8Array {
  const spanS = Math.floor((hours * 3600) / rows);
  const fromS = rows === 1 ? 6 * 3600 : 0;
  const spans = Array.from(
    { length: rows },
    (_, i) => `T1,${clock(fromS + i * spanS)},${clock(fromS + (i + 1) * spanS)},1,${exact}`,
  );
  return zipOf(
    smallFeed({
      'frequencies.txt': `trip_id,start_time,end_time,headway_secs,exact_times\n${spans.join('\n')}\n`,
    }),
  );
}

/** A feed with as much of everything as is read: trips, times, stops, routes and days. */
export function feedAtLimits(): Uint8Array {
  const { stops, routes, trips, timesKept } = GTFS_LIMITS;
  const rows = (count: number, row: (n: number) => string) =>
    Array.from({ length: count }, (_, n) => row(n)).join('\n');
  const day = (n: number) =>
    new Date(Date.UTC(2031, 0, 1 + (n % 365))).toISOString().slice(0, 10).replaceAll('-', '');
  return zipOf(
    smallFeed({
      'stops.txt': `stop_id,stop_name\nHEAD,Gorge Head\n${rows(stops - 1, (n) => `S${n},Stop ${n}`)}`,
      'routes.txt': `route_id,route_short_name,route_type\nR,1,4\n${rows(routes - 1, (n) => `R${n},${n},3`)}`,
      'trips.txt': `route_id,service_id,trip_id\n${rows(trips, (n) => `R,D${n % 500},T${n}`)}`,
      'stop_times.txt': `trip_id,arrival_time,departure_time,stop_id,stop_sequence\n${rows(timesKept / 2, (n) => `T${n},${clock(n % 86_400)},${clock(n % 86_400)},HEAD,1\nT${n},${clock((n % 86_400) + 60)},${clock((n % 86_400) + 60)},S${n % 40_000},2`)}`,
      'calendar.txt': `service_id,monday,tuesday,wednesday,thursday,friday,saturday,sunday,start_date,end_date\n${rows(500, (n) => `D${n},1,1,1,1,1,1,1,20310101,20311231`)}`,
      'calendar_dates.txt': `service_id,date,exception_type\n${rows(365 * 500, (n) => `D${n % 500},${day(Math.floor(n / 500))},${1 + (n % 2)}`)}`,
    }),
  );
}

interface Entry {
  kind: string;
  at: string;
  data: object;
}

/** A record as /log export writes it: one entry a line. */
export function record(entries: readonly Entry[]): string {
  return entries
    .map(({ kind, at, data }, i) =>
      JSON.stringify({
        ...{ seq: i + 1, id: `h${i + 1}`, kind, at, recorded_at: at },
        ...{ by_id: 'mallory', by_name: 'Mallory', data },
      }),
    )
    .map((line) => `${line}\n`)
    .join('');
}

/** A trip that departed on a day, with a topo, a call-out and a shuttle: everything that makes the watch compute. */
export function departed(at: string, timetable?: object): Entry[] {
  const pitches = [1, 2, 3, 4, 5, 6].map((number) => ({
    ...{ number, lengthM: 40, stance: 'ledge', bivy: 'none' },
  }));
  const mallory = { name: 'Mallory', roles: ['climber'], userId: 'mallory' };
  return [
    {
      kind: 'trip.opened',
      at,
      data: {
        ...{ name: 'Old wall', zone: 'Europe/Oslo', place: { lat: 62.1, lon: 6.9 } },
        ...{ units: 'm', confidence: 0.9 },
      },
    },
    { kind: 'topo.loaded', at, data: { pitches } },
    { kind: 'roster.added', at, data: { id: 'mallory', fields: mallory } },
    ...(timetable === undefined
      ? []
      : [{ kind: 'shuttle.set', at, data: { name: 'boat', timetable } }]),
    { kind: 'watch.planned', at, data: { calloutMs: Date.parse('2031-06-13T00:00:00Z') } },
    { kind: 'trip.departed', at, data: {} },
  ];
}

/** Just under the size that is taken, of the shortest lines that are entries. */
export function fourMegabytes(line: string): string {
  return line.repeat(Math.floor((4 * 2 ** 20 - 1) / line.length));
}

/** A topo of so many pitches. */
export function longTopo(rows: number): string {
  return `pitch,length_m\n${Array.from({ length: rows }, (_, i) => `${i + 1},1\n`).join('')}`;
}

/** A timetable of so many departures a day. */
export function timetable(departures: number): object {
  const times = Array.from({ length: departures }, (_, i) => i * 60);
  const daily = { weekdays: [1, 2, 3, 4, 5, 6, 7], added: [], removed: [], headways: [] };
  return {
    ...{ zone: 'Europe/Oslo', clock: 'wall', label: 'boat' },
    services: [{ ...daily, times }],
  };
}

/** A departed trip with so many entries of one kind on top. */
export function nearlyFull(kind: string, count: number): Entry[] {
  const startMs = Date.parse('2031-06-11T00:00:00Z');
  const data = (i: number): object => {
    switch (kind) {
      case 'watch.raised': {
        const dueMs = Date.parse('2031-06-13T00:00:00Z');
        return { phase: 'distress', root: 'callout', dueMs, to: ['@field', 'mallory'] };
      }
      case 'watch.promised':
        return { dueMs: startMs + i * 60_000 };
      case 'trouble.reported':
        return { who: [], condition: 'hurt', what: 'x', how: 'self', wants: 'callout' };
      case 'party.split':
      case 'party.joined':
        return { who: ['mallory'] };
      case 'contact.asked':
        return { person: 'mallory', way: 'email', to: `${i}@example.org` };
      case 'contact.answered':
        return { person: 'mallory', way: 'email', to: `${i}@example.org`, answer: 'yes' };
      case 'cutoff.added':
        return {
          ...{ id: `${i}`, kind: 'own', label: `x${i}`, target: { pitch: 1 + (i % 6) } },
          atMs: startMs + 5 * 86_400_000 + i * 60_000,
        };
      case 'trip.edited':
        return { units: 'm' };
      default:
        return { how: 'self' };
    }
  };
  return [
    ...departed('2031-06-10T00:00:00Z'),
    ...Array.from({ length: count }, (_, i) => ({
      ...{ kind, at: new Date(startMs + i * 1000).toISOString(), data: data(i) },
    })),
  ];
}
