import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { runs } from '../../helpers/long.ts';
import { dayOf, shown, smallFeed, timetableOf } from './feeds.ts';

/** One trip of an invented feed. */
interface Trip {
  service: 'wk' | 'we' | 'x';
  route: 'R' | 'S';
  direction: 0 | 1;
  /** Minutes after midnight at each stop; the order of stops is the direction's. */
  atMin: number[];
}

const STOPS = ['QUAY', 'HEAD', 'TOWN'];
const SERVICES = { wk: [1, 2, 3, 4, 5], we: [6, 7], x: [] };
/** x runs on these days only; wk does not run on them. All June 2031. */
const EXCEPTIONS = [11, 14];

const trip: fc.Arbitrary<Trip> = fc
  .record({
    service: fc.constantFrom('wk' as const, 'we' as const, 'x' as const),
    route: fc.constantFrom('R' as const, 'S' as const),
    direction: fc.constantFrom(0 as const, 1 as const),
    startMin: fc.integer({ min: 240, max: 1700 }),
    legs: fc.array(fc.integer({ min: 1, max: 90 }), { minLength: 2, maxLength: 2 }),
  })
  .map(({ startMin, legs, ...rest }) => ({
    ...rest,
    atMin: [startMin, startMin + legs[0]!, startMin + legs[0]! + legs[1]!],
  }));

const two = (value: number) => String(value).padStart(2, '0');

function feedOf(trips: readonly Trip[], shuffle: (rows: string[]) => string[]) {
  const rows = trips.flatMap(({ atMin, direction }, index) =>
    atMin.map((min, i) => {
      const time = `${two(Math.floor(min / 60))}:${two(min % 60)}:00`;
      const stop = direction === 0 ? STOPS[i] : STOPS[2 - i];
      return `T${index},${time},${time},${stop},${i * 5}`;
    }),
  );
  return smallFeed({
    'routes.txt': 'route_id,route_short_name\nR,1\nS,2\n',
    'trips.txt': `route_id,service_id,trip_id,direction_id\n${trips
      .map(({ route, service, direction }, i) => `${route},${service},T${i},${direction}`)
      .join('\n')}\n`,
    'stop_times.txt': `trip_id,arrival_time,departure_time,stop_id,stop_sequence\n${shuffle(rows).join('\n')}\n`,
    'calendar.txt': `service_id,monday,tuesday,wednesday,thursday,friday,saturday,sunday,start_date,end_date
wk,1,1,1,1,1,0,0,20310601,20310630
we,0,0,0,0,0,1,1,20310601,20310630
`,
    'calendar_dates.txt': `service_id,date,exception_type\n${EXCEPTIONS.map((day) => `x,203106${two(day)},1\nwk,203106${two(day)},2`).join('\n')}\n`,
  });
}

/** The same question answered the slow and plain way: June has no clock change, so days are simple. */
function plain(trips: readonly Trip[], stop: string, route: string, direction: number): string[] {
  const found: { day: number; min: number; last: boolean }[] = [];
  for (let day = 9; day <= 15; day++) {
    // 9 June 2031 is a Monday.
    const weekday = day - 8;
    const ofDay: number[] = [];
    for (const each of trips) {
      if (each.route !== route || each.direction !== direction) continue;
      const special = EXCEPTIONS.includes(day);
      const runs =
        each.service === 'x'
          ? special
          : SERVICES[each.service].includes(weekday as never) &&
            !(special && each.service === 'wk');
      const index = direction === 0 ? STOPS.indexOf(stop) : 2 - STOPS.indexOf(stop);
      if (runs && index < 2) ofDay.push(each.atMin[index]!);
    }
    const times = [...new Set(ofDay)].sort((a, b) => a - b);
    for (const min of times) found.push({ day, min, last: min === times[times.length - 1] });
  }
  const lines = new Map<number, string>();
  for (const { day, min, last } of found) {
    const at = day * 1440 + min;
    const text = `${two(Math.floor(at / 1440))} ${two(Math.floor((at % 1440) / 60))}:${two(at % 60)}:00`;
    const known = lines.get(at);
    lines.set(at, last || known?.endsWith('last') ? `${text} last` : text);
  }
  return [...lines].sort(([a], [b]) => a - b).map(([, text]) => text);
}

describe('against a plain reading of the same feed', () => {
  it('finds the same departures, whatever order the rows are in', async () => {
    await fc.assert(
      fc.asyncProperty(
        fc.array(trip, { minLength: 1, maxLength: 12 }),
        fc.constantFrom('QUAY', 'HEAD', 'TOWN'),
        fc.constantFrom('R', 'S'),
        fc.constantFrom(0 as const, 1 as const),
        fc.infiniteStream(fc.nat()),
        async (trips, stopId, routeId, direction, numbers) => {
          const expected = plain(trips, stopId, routeId, direction);
          const shuffle = (rows: string[]) =>
            rows
              .map((row) => ({ row, key: numbers.next().value as number }))
              .sort((a, b) => a.key - b.key)
              .map(({ row }) => row);
          const pick = { stopId, routeId, direction, from: '2031-06-09', to: '2031-06-15' };
          if (expected.length === 0) {
            await expect(timetableOf(feedOf(trips, shuffle), pick)).rejects.toThrow('Nothing');
            return;
          }
          const table = await timetableOf(feedOf(trips, shuffle), pick);
          expect(shown(table, '2031-06-08T00:00Z', '2031-06-18T00:00Z')).toEqual(expected);
        },
      ),
      { numRuns: runs(60, 1000) },
    );
  });

  it('keeps a timetable small', async () => {
    const trips: Trip[] = Array.from({ length: 80 }, (_, i) => ({
      ...{ service: 'wk' as const, route: 'R' as const, direction: 0 as const },
      atMin: [300 + i * 10, 320 + i * 10, 340 + i * 10],
    }));
    const table = await timetableOf(
      feedOf(trips, (rows) => rows),
      {
        ...{ stopId: 'QUAY', routeId: 'R', direction: 0, from: '2031-06-01', to: '2031-06-30' },
      },
    );
    expect(JSON.stringify(table).length).toBeLessThan(1000);
    expect(dayOf('2031-06-01')).toEqual({ year: 2031, month: 6, day: 1 });
  });
});
