import { describe, expect, it } from 'vitest';
import { departures } from '../../../src/timetable/departures.ts';
import { extractTimetable } from '../../../src/timetable/gtfs/extract.ts';
import { listFeed } from '../../../src/timetable/gtfs/listing.ts';
import {
  suggestDirections,
  suggestRoutes,
  suggestStops,
} from '../../../src/timetable/gtfs/suggest.ts';
import { dayOf, EXAMPLE, shown, smallFeed, timetableOf, zipOf } from './feeds.ts';

// Checked against the complete example feed of the GTFS reference, and against rules and examples in
// the reference itself (gtfs.org/documentation/schedule/reference, "Field types" and each file).

async function listing() {
  const result = await listFeed(zipOf(EXAMPLE));
  if (!result.ok) throw new Error(result.refusal.reason);
  return result.value;
}

describe("what can be chosen from the reference's example feed", () => {
  it('has its zone, days, stops and routes', async () => {
    const feed = await listing();
    expect(feed.zone).toBe('America/Los_Angeles');
    expect(feed.covers).toEqual({ from: '2007-01-01', to: '2010-12-31' });
    expect(feed.stops).toHaveLength(9);
    expect(feed.routes).toHaveLength(5);
    expect(suggestStops(feed, 'bull')).toEqual([{ name: 'Bullfrog (Demo)', value: 'BULLFROG' }]);
    expect(suggestStops(feed, 'ave').map(({ value }) => value)).toEqual([
      'DADAN',
      'NADAV',
      'NANAA',
    ]);
    expect(suggestStops(feed, 'nowhere')).toEqual([]);
    expect(suggestRoutes(feed, 'BEATTY_AIRPORT', '').map(({ value }) => value)).toEqual([
      'AB',
      'AAMV',
    ]);
  });

  it('offers only directions that can be boarded', async () => {
    const feed = await listing();
    // AAMV2 and AAMV4 end at the airport, AAMV1 and AAMV3 begin there.
    expect(suggestDirections(feed, 'BEATTY_AIRPORT', 'AAMV')).toEqual([
      { name: 'to Amargosa Valley', value: '0' },
    ]);
    expect(suggestDirections(feed, 'NADAV', 'CITY')).toEqual([
      { name: 'Direction 0', value: '0' },
      { name: 'Direction 1', value: '1' },
    ]);
    expect(suggestDirections(feed, 'STAGECOACH', 'STBA')).toEqual([
      { name: 'Shuttle', value: 'any' },
    ]);
  });
});

describe("departures of the reference's example feed", () => {
  it('runs at weekends where calendar.txt says so', async () => {
    const choice = { stopId: 'BEATTY_AIRPORT', routeId: 'AAMV', direction: 0 } as const;
    const table = await timetableOf(EXAMPLE, { ...choice, from: '2007-06-01', to: '2007-06-10' });
    expect(shown(table, '2007-06-01T00:00Z', '2007-06-08T00:00Z')).toEqual([
      ...['02 08:00:00', '02 13:00:00 last', '03 08:00:00', '03 13:00:00 last'],
    ]);
    expect(table.label).toBe(
      'Nye County Airport (Demo), 50 Airport - Amargosa Valley, to Amargosa Valley',
    );
  });

  it('leaves out the day that calendar_dates.txt removes', async () => {
    const choice = { stopId: 'BULLFROG', routeId: 'AB', direction: 1 } as const;
    const table = await timetableOf(EXAMPLE, { ...choice, from: '2007-06-03', to: '2007-06-05' });
    expect(shown(table, '2007-06-01T00:00Z', '2007-06-08T00:00Z')).toEqual([
      '03 12:05:00 last',
      '05 12:05:00 last',
    ]);
  });

  it('repeats a trip by frequencies.txt, offset by the run from its first stop', async () => {
    const table = await timetableOf(EXAMPLE, {
      ...{ stopId: 'NANAA', routeId: 'CITY', direction: 0, from: '2007-06-05', to: '2007-06-05' },
    });
    const all = departures(table, Date.parse('2007-06-05T07:00Z'), Date.parse('2007-06-06T10:00Z'));
    // 4 + 12 + 12 + 18 + 6 runs, seven minutes after the first stop each.
    expect(all).toHaveLength(52);
    expect(all.map(({ everyMin }) => everyMin)).toEqual(expect.arrayContaining([30, 10]));
    const at = shown(table, '2007-06-05T07:00Z', '2007-06-06T10:00Z');
    expect(at.slice(0, 6).map((text) => text.slice(3, 8))).toEqual([
      ...['06:07', '06:37', '07:07', '07:37', '08:07', '08:17'],
    ]);
    expect(at[51]).toBe('05 21:37:00 last');
  });

  it('can be boarded neither at the end of a trip nor in the other direction', async () => {
    for (const pick of [
      { stopId: 'AMV', routeId: 'AAMV', direction: 0 },
      { stopId: 'BULLFROG', routeId: 'AAMV' },
    ] as const) {
      const choice = { ...pick, from: dayOf('2007-06-01'), to: dayOf('2007-06-10') };
      const result = await extractTimetable(zipOf(EXAMPLE), choice);
      expect(result).toMatchObject({
        ok: false,
        refusal: { reason: expect.stringMatching('can be boarded') },
      });
    }
  });
});

describe('rules of the reference', () => {
  const R = { stopId: 'HEAD', routeId: 'R' };
  const trip = (times: string) =>
    smallFeed({
      'stop_times.txt': `trip_id,arrival_time,departure_time,stop_id,stop_sequence\n${times}`,
    });

  it('writes 25:35:00 for 1:35 on the next day', async () => {
    const table = await timetableOf(
      trip('T1,25:35:00,25:35:00,HEAD,1\nT1,26:00:00,26:00:00,QUAY,2'),
      {
        ...{ ...R, from: '2031-06-12', to: '2031-06-12' },
      },
    );
    expect(shown(table, '2031-06-11T00:00Z', '2031-06-15T00:00Z')).toEqual(['13 01:35:00 last']);
  });

  it('counts 24:00:00 to the service day before ("Blocks and service day": red, trip_3, Fri and Sat)', async () => {
    const files = smallFeed({
      'trips.txt':
        'route_id,service_id,trip_id\nR,all,trip_1\nR,fri-sat-sun,trip_2\nR,fri-sat,trip_3\n',
      'stop_times.txt': `trip_id,arrival_time,departure_time,stop_id,stop_sequence
trip_1,22:00:00,22:00:00,HEAD,1
trip_1,22:55:00,22:55:00,QUAY,2
trip_2,23:00:00,23:00:00,HEAD,1
trip_2,23:55:00,23:55:00,QUAY,2
trip_3,24:00:00,24:00:00,HEAD,1
trip_3,24:55:00,24:55:00,QUAY,2
`,
      'calendar.txt': `service_id,monday,tuesday,wednesday,thursday,friday,saturday,sunday,start_date,end_date
all,1,1,1,1,1,1,1,20310101,20311231
fri-sat-sun,0,0,0,0,1,1,1,20310101,20311231
fri-sat,0,0,0,0,1,1,0,20310101,20311231
`,
    });
    // 13 June 2031 is a Friday.
    const table = await timetableOf(files, { ...R, from: '2031-06-12', to: '2031-06-15' });
    expect(shown(table, '2031-06-12T00:00Z', '2031-06-17T00:00Z')).toEqual([
      '12 22:00:00 last',
      ...['13 22:00:00', '13 23:00:00', '14 00:00:00 last'],
      ...['14 22:00:00', '14 23:00:00', '15 00:00:00 last'],
      ...['15 22:00:00', '15 23:00:00 last'],
    ]);
  });

  it('measures times from noon minus 12 h on the day of a clock change', async () => {
    // tz database: Oslo goes forward on 30 March 2031 and back on 26 October, both at 01:00 UTC. By
    // hand: noon is 10:00Z in March and 11:00Z in October, less 11.5, 9.5 and 2 hours.
    const times = ['00:30:00', '02:30:00', '10:00:00'];
    const files = smallFeed({
      'trips.txt': `route_id,service_id,trip_id\n${times.map((_, i) => `R,D,T${i}`).join('\n')}\n`,
      'stop_times.txt': `trip_id,arrival_time,departure_time,stop_id,stop_sequence\n${times
        .map((time, i) => `T${i},${time},${time},HEAD,1\nT${i},20:00:00,20:00:00,QUAY,2`)
        .join('\n')}\n`,
    });
    const utc = async (day: string) => {
      const table = await timetableOf(files, { ...R, from: day, to: day });
      const [from, to] = [Date.parse(`${day}T00:00Z`) - 86_400_000, Date.parse(`${day}T23:00Z`)];
      return departures(table, from, to).map(({ atMs }) =>
        new Date(atMs).toISOString().slice(5, 16),
      );
    };
    expect(await utc('2031-03-30')).toEqual(['03-29T22:30', '03-30T00:30', '03-30T08:00']);
    expect(await utc('2031-10-26')).toEqual(['10-25T23:30', '10-26T01:30', '10-26T09:00']);
    expect(await utc('2031-06-12')).toEqual(['06-11T22:30', '06-12T00:30', '06-12T08:00']);
  });

  it('swaps services by exception dates (calendar_dates.txt example: 3 and 4 July 2006)', async () => {
    const files = smallFeed({
      'trips.txt': 'route_id,service_id,trip_id\nR,WE,W\nR,WD,D\n',
      'stop_times.txt':
        'trip_id,arrival_time,departure_time,stop_id,stop_sequence\nW,9:00:00,9:00:00,HEAD,1\nW,9:30:00,9:30:00,QUAY,2\nD,7:00:00,7:00:00,HEAD,1\nD,7:30:00,7:30:00,QUAY,2\n',
      'calendar.txt':
        'service_id,monday,tuesday,wednesday,thursday,friday,saturday,sunday,start_date,end_date\nWE,0,0,0,0,0,1,1,20060701,20060731\nWD,1,1,1,1,1,0,0,20060701,20060731\n',
      'calendar_dates.txt':
        'service_id,date,exception_type\nWD,20060703,2\nWE,20060703,1\nWD,20060704,2\nWE,20060704,1\n',
    });
    const table = await timetableOf(files, { ...R, from: '2006-06-28', to: '2006-07-06' });
    expect(shown(table, '2006-06-28T00:00Z', '2006-07-07T00:00Z')).toEqual([
      ...['01', '02', '03', '04'].map((day) => `${day} 09:00:00 last`),
      ...['05', '06'].map((day) => `${day} 07:00:00 last`),
    ]);
  });

  it('runs on dates alone where calendar.txt is left out', async () => {
    const files = smallFeed({
      'calendar.txt': '',
      'calendar_dates.txt': 'service_id,date,exception_type\nD,20310612,1\nD,20310620,1\n',
    });
    const table = await timetableOf(files, { ...R, from: '2031-06-01', to: '2031-06-15' });
    expect(shown(table, '2031-06-01T00:00Z', '2031-06-30T00:00Z')).toEqual(['12 10:00:00 last']);
  });

  it.each([
    [0, 22, 3],
    [1, 22, undefined],
  ])('keeps headways apart from timetables (exact_times %d)', async (exact, count, everyMin) => {
    // Headways of the reference's frequencies example: 180 s for 18 min, then 165 s for 44 min.
    const files = smallFeed({
      'frequencies.txt': `trip_id,start_time,end_time,headway_secs,exact_times\nT1,16:01:25,16:19:25,180,${exact}\nT1,16:19:25,17:03:25,165,${exact}\n`,
    });
    const table = await timetableOf(files, { ...R, from: '2031-06-12', to: '2031-06-12' });
    const all = departures(table, Date.parse('2031-06-12T00:00Z'), Date.parse('2031-06-13T00:00Z'));
    expect(all).toHaveLength(count);
    expect(all[0]?.everyMin).toBe(everyMin);
    const at = shown(table, '2031-06-12T00:00Z', '2031-06-13T00:00Z');
    expect([at[0], at[5], at[6], at[7], at[21]]).toEqual([
      ...['12 16:01:25', '12 16:16:25', '12 16:19:25', '12 16:22:10', '12 17:00:40 last'],
    ]);
  });

  it('ends an exact_times timetable before end_time', async () => {
    const files = smallFeed({
      'frequencies.txt':
        'trip_id,start_time,end_time,headway_secs,exact_times\nT1,07:00:00,07:45:00,1200,1\n',
    });
    const table = await timetableOf(files, { ...R, from: '2031-06-12', to: '2031-06-12' });
    expect(table.services[0]?.times).toEqual([25_200, 26_400, 27_600]);
  });

  it('takes departures from every platform of a station, and works out times left empty', async () => {
    const files = smallFeed({
      'stops.txt':
        'stop_id,stop_name,location_type,parent_station\nPIER,Harrow Pier,1,\nP1,Berth 1,0,PIER\nP2,Berth 2,,PIER\nHEAD,Gorge Head,,\nQUAY,Lantern Quay,,\n',
      'trips.txt': 'route_id,service_id,trip_id\nR,D,A\nR,D,B\n',
      // Empty times and pickup_type 1 as in the reference's example of stop_times.txt.
      'stop_times.txt': `trip_id,arrival_time,departure_time,stop_id,stop_sequence,pickup_type
A,0:06:10,0:06:10,HEAD,1,0
A,,,P1,2,0
A,,,QUAY,7,1
A,0:12:10,0:12:10,HEAD,9,0
B,8:00:00,8:00:00,P2,1,2
B,8:30:00,8:30:00,QUAY,2,0
`,
    });
    const result = await extractTimetable(zipOf(files), {
      ...{ stopId: 'PIER', routeId: 'R', from: dayOf('2031-06-12'), to: dayOf('2031-06-12') },
    });
    if (!result.ok) throw new Error(result.refusal.reason);
    // A third of the six minutes on from 0:06:10, cut to the minute.
    expect(result.value.timetable.services[0]?.times).toEqual([8 * 60, 8 * 3600]);
    expect(result.value.notes).toEqual([
      expect.stringMatching('arranged'),
      expect.stringMatching('worked out'),
    ]);
    const feed = await listFeed(zipOf(files));
    expect(feed).toMatchObject({ ok: true, value: { stops: [{ id: 'HEAD' }, { id: 'PIER' }] } });
  });
});
