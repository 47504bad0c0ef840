import fc from 'fast-check';
import { strToU8, zipSync } from 'fflate';
import { describe, expect, it } from 'vitest';
import { extractTimetable } from '../../../src/timetable/gtfs/extract.ts';
import { GTFS_LIMITS, type GtfsLimits } from '../../../src/timetable/gtfs/limits.ts';
import { listFeed } from '../../../src/timetable/gtfs/listing.ts';
import { sayRefusal } from '../../../src/timetable/gtfs/refusal.ts';
import { runs } from '../../helpers/long.ts';
import { dayOf, type Files, smallFeed, zipOf } from './feeds.ts';

async function refusal(bytes: Uint8Array, limits: Partial<GtfsLimits> = {}): Promise<string> {
  const result = await listFeed(bytes, { ...GTFS_LIMITS, ...limits });
  return result.ok ? 'not refused' : sayRefusal(result.refusal);
}

async function extractRefusal(files: Files, choice = {}): Promise<string> {
  const day = dayOf('2031-06-12');
  const whole = { stopId: 'HEAD', routeId: 'R', from: day, to: day, ...choice };
  const result = await extractTimetable(zipOf(files), whole);
  return result.ok ? 'not refused' : sayRefusal(result.refusal);
}

const TIMES = 'trip_id,arrival_time,departure_time,stop_id,stop_sequence';
const WEEK = 'monday,tuesday,wednesday,thursday,friday,saturday,sunday';

describe('a feed that is wrong is refused with file, line and reason', () => {
  it('takes the small feed as it is', async () => {
    expect(await refusal(zipOf(smallFeed()))).toBe('not refused');
    expect(await extractRefusal(smallFeed())).toBe('not refused');
  });

  it('refuses a file whose checksum is not the zip’s (APPNOTE 4.4.7, CRC-32)', async () => {
    const bytes = zipOf(smallFeed());
    const text = Buffer.from(bytes).indexOf('stop_times.txt');
    // The directory's entry holds the checksum 30 bytes before the name; the last mention is the directory's.
    const entry = Buffer.from(bytes).lastIndexOf('stop_times.txt') - 30;
    expect(entry).toBeGreaterThan(text);
    bytes[entry] = (bytes[entry] as number) ^ 1;
    expect(await refusal(bytes)).toBe(
      "stop_times.txt: It is damaged: its checksum isn't the zip's.",
    );
  });

  it.each<[Files, string]>([
    [{ 'agency.txt': '' }, 'agency.txt: The file is missing.'],
    [{ 'stops.txt': '\n\n' }, 'stops.txt: The file is empty.'],
    [{ 'agency.txt': 'agency_name\nX\n' }, 'agency.txt, line 1: No column agency_timezone.'],
    [
      { 'agency.txt': 'agency_timezone\nNorway/Harrow\n' },
      'agency.txt, line 2: agency_timezone "Norway/Harrow" isn\'t a zone like Europe/Oslo.',
    ],
    [
      { 'agency.txt': 'agency_id,agency_timezone\na,Europe/Oslo\nb,Europe/Paris\n' },
      'agency.txt, line 3: agency_timezone Europe/Paris differs from Europe/Oslo; a feed keeps one zone.',
    ],
    [{ 'agency.txt': 'agency_timezone\n' }, 'agency.txt: No agency in it.'],
    [
      { 'stops.txt': 'stop_id,stop_name\nQUAY,A\nQUAY,B\n' },
      'stops.txt, line 3: stop_id QUAY comes twice.',
    ],
    [{ 'stops.txt': 'stop_id,stop_name\nQUAY,\n' }, 'stops.txt, line 2: stop_name is empty.'],
    [
      { 'stops.txt': 'stop_id,stop_name,parent_station\nQUAY,A,GONE\nHEAD,B,\n' },
      "stops.txt: The parent_station of QUAY, GONE, isn't in the file.",
    ],
    [
      { 'stops.txt': 'stop_id,stop_id\nQUAY,A\n' },
      'stops.txt, line 1: The column stop_id comes twice.',
    ],
    [
      { 'routes.txt': 'route_id,route_short_name,route_long_name\nR,,\n' },
      'routes.txt, line 2: The route has neither a short nor a long name.',
    ],
    [
      { 'trips.txt': 'route_id,service_id,trip_id\nR,D,T1\nX,D,T2\n' },
      "trips.txt, line 3: route_id X isn't in routes.txt.",
    ],
    [
      { 'trips.txt': 'route_id,service_id,trip_id\nR,D,T1\nR,D,T1\n' },
      'trips.txt, line 3: trip_id T1 comes twice.',
    ],
    [
      { 'trips.txt': 'route_id,service_id,trip_id,direction_id\nR,D,T1,2\n' },
      'trips.txt, line 2: direction_id "2" isn\'t a whole number from 0 to 1.',
    ],
    [
      { 'stop_times.txt': `${TIMES}\nT1,10:00:00,10:00:00,HEAD,1\n\nT1,10:70:00,,QUAY,2\n` },
      'stop_times.txt, line 4: arrival_time "10:70:00" isn\'t a time like 14:30:00.',
    ],
    [
      { 'stop_times.txt': `${TIMES}\nT1,80:00:00,80:00:00,HEAD,1\n` },
      'stop_times.txt, line 2: arrival_time 80:00:00 is more than three days on.',
    ],
    [
      { 'stop_times.txt': `${TIMES}\nT9,10:00:00,10:00:00,HEAD,1\n` },
      "stop_times.txt, line 2: trip_id T9 isn't in trips.txt.",
    ],
    [
      { 'stop_times.txt': `${TIMES}\nT1,10:00:00,10:00:00,NOWHERE,1\n` },
      "stop_times.txt, line 2: stop_id NOWHERE isn't in stops.txt.",
    ],
    [
      { 'stops.txt': 'stop_id,stop_name,location_type\nHEAD,A,1\nQUAY,B,0\n' },
      'stop_times.txt, line 2: HEAD is a station or an entrance, where nothing stops.',
    ],
    [
      { 'stop_times.txt': `${TIMES}\nT1,10:00:00,10:00:00,HEAD,first\n` },
      'stop_times.txt, line 2: stop_sequence "first" isn\'t a whole number from 0 to 2147483647.',
    ],
    [
      { 'calendar.txt': '' },
      'The feed has neither calendar.txt nor calendar_dates.txt at the top of the zip.',
    ],
    [
      {
        'calendar.txt': `service_id,${WEEK},start_date,end_date\nD,1,1,1,1,1,1,1,20310631,20311231\n`,
      },
      'calendar.txt, line 2: start_date "20310631" isn\'t a day like 20310612.',
    ],
    [
      {
        'calendar.txt': `service_id,${WEEK},start_date,end_date\nD,1,1,1,1,1,1,1,20311231,20310101\n`,
      },
      'calendar.txt, line 2: end_date is before start_date.',
    ],
    [
      { 'calendar_dates.txt': 'service_id,date,exception_type\nD,20310612,3\n' },
      'calendar_dates.txt, line 2: exception_type "3" isn\'t a whole number from 1 to 2.',
    ],
    [
      { 'stops.txt': 'stop_id,stop_name\nQUAY,"Lantern" Quay\n' },
      'stops.txt, line 2: The quotation marks are wrong: a field in them ends with one and a comma or the end of the line.',
    ],
  ])('while it is listed: %j', async (parts, expected) => {
    expect(await refusal(zipOf(smallFeed(parts)))).toBe(expected);
  });

  it.each<[Files, object, string]>([
    [{}, { stopId: 'GONE' }, 'stops.txt: No stop GONE.'],
    [{}, { routeId: 'GONE' }, 'routes.txt: No route GONE.'],
    [{}, { stopId: 'TOWN' }, 'Nothing of this route and direction can be boarded at this stop.'],
    [
      {},
      { from: dayOf('2032-06-12'), to: dayOf('2032-06-13') },
      'Nothing runs from 2032-06-12 to 2032-06-13. The feed covers 2031-01-01 to 2031-12-31.',
    ],
    [{}, { to: dayOf('2032-06-12') }, 'Choose 1 to 120 days.'],
    [
      { 'trips.txt': 'route_id,service_id,trip_id\nR,GONE,T1\n' },
      {},
      'trips.txt, line 2: service_id GONE is in neither calendar.txt nor calendar_dates.txt.',
    ],
    [
      { 'stop_times.txt': `${TIMES}\nT1,10:00:00,10:00:00,HEAD,1\nT1,09:00:00,09:00:00,QUAY,2\n` },
      {},
      'stop_times.txt, line 3: Trip T1: its times go back.',
    ],
    [
      { 'stop_times.txt': `${TIMES}\nT1,10:00:00,10:00:00,HEAD,1\nT1,11:00:00,11:00:00,QUAY,1\n` },
      {},
      'stop_times.txt, line 3: Trip T1: stop_sequence 1 comes twice.',
    ],
    [
      { 'stop_times.txt': `${TIMES}\nT1,10:00:00,10:00:00,HEAD,1\nT1,,,QUAY,2\n` },
      {},
      'stop_times.txt, line 3: Trip T1: no time at its last stop.',
    ],
    [
      {
        'frequencies.txt':
          'trip_id,start_time,end_time,headway_secs\nT1,6:00:00,9:00:00,600\nT1,8:00:00,10:00:00,600\n',
      },
      {},
      'frequencies.txt, line 3: Trip T1: its spans overlap.',
    ],
    [
      { 'frequencies.txt': 'trip_id,start_time,end_time,headway_secs\nT1,6:00:00,9:00:00,0\n' },
      {},
      'frequencies.txt, line 2: headway_secs "0" isn\'t a whole number from 1 to 86400.',
    ],
    [
      { 'calendar_dates.txt': 'service_id,date,exception_type\nD,20310612,1\nD,20310612,2\n' },
      {},
      'calendar_dates.txt, line 3: D has two rows for 2031-06-12.',
    ],
  ])('while a timetable is made: %j %j', async (parts, choice, expected) => {
    expect(await extractRefusal(smallFeed(parts), choice)).toBe(expected);
  });

  it('reads byte-order marks, CRLF, spaces round fields, quoted commas and columns in any order', async () => {
    const files = smallFeed({
      'stops.txt': '\ufeffstop_name, stop_id\r\n"Head, upper ""A""", HEAD\r\nLantern Quay,QUAY\r\n',
    });
    expect(await listFeed(zipOf(files))).toMatchObject({
      value: { stops: [{ id: 'HEAD', name: 'Head, upper "A"' }] },
    });
  });
});

describe('a bad row of another route', () => {
  const OTHER: Files = {
    'routes.txt':
      'route_id,route_short_name,route_long_name,route_type\nR,1,Gorge Boat,4\nX,2,Night Bus,3\n',
    'trips.txt': 'route_id,service_id,trip_id\nR,D,T1\nX,D,T2\n',
  };
  const OURS = 'T1,10:00:00,10:00:00,HEAD,1\nT1,10:40:00,10:40:00,QUAY,2\n';
  const listed = (rows: string) =>
    listFeed(zipOf(smallFeed({ ...OTHER, 'stop_times.txt': `${TIMES}\n${rows}` })));

  it.each([
    ['T2,25:99:00,,HEAD,1\n', 'arrival_time "25:99:00" isn\'t a time like 14:30:00.'],
    ['T2,10:00:00,10:00:00,NOWHERE,1\n', "stop_id NOWHERE isn't in stops.txt."],
    [
      'T2,10:00:00,10:00:00,HEAD,first\n',
      'stop_sequence "first" isn\'t a whole number from 0 to 2147483647.',
    ],
  ])('leaves that route out and names it: %j', async (row, reason) => {
    const good = 'T2,11:00:00,11:00:00,HEAD,3\nT2,12:00:00,12:00:00,TOWN,4\n';
    const read = await listed(`${good}${row}${good}${OURS}`);
    expect(read).toMatchObject({
      ok: true,
      value: {
        calls: [{ stop: 0, route: 0, trips: 1 }],
        stops: [{ id: 'HEAD' }],
        skipped: [{ route: '2 Night Bus', why: { file: 'stop_times.txt', line: 4, reason } }],
      },
    });
  });

  it('refuses the feed where nothing else can be boarded', async () => {
    const read = await listed('T2,25:99:00,,HEAD,1\n');
    expect(read).toMatchObject({ ok: false, refusal: { line: 2 } });
  });

  it('names none of a feed that is whole', async () => {
    expect(await listed(OURS)).toMatchObject({ ok: true, value: { skipped: [] } });
  });
});

describe('a zip that is no feed, or meant to do harm', () => {
  it('ASVS V5.2.2: refuses what is not a zip, is cut off, or keeps its files in a folder', async () => {
    expect(await refusal(strToU8('stop_id,stop_name'))).toMatch("isn't a zip that can be read");
    expect(await refusal(new Uint8Array())).toMatch("isn't a zip that can be read");
    expect(await refusal(zipOf(smallFeed()).slice(0, 400))).toMatch("isn't a zip");
    const inFolder = Object.fromEntries(
      Object.entries(smallFeed()).map(([name, text]) => [`boats/${name}`, text]),
    );
    expect(await refusal(zipOf(inFolder))).toBe(
      'agency.txt: It is in the folder "boats". GTFS files belong at the top of the zip.',
    );
  });

  it('ASVS V5.2.5, V5.3.3: follows no link and no path out of the zip', async () => {
    // External attributes of a symbolic link made on Unix: S_IFLNK | 0777 (inode(7)), in the upper half (APPNOTE 4.4.15).
    const link = [strToU8('/etc/passwd'), { os: 3, attrs: (0o120777 << 16) >>> 0 }] as const;
    expect(await refusal(zipSync({ ...unpacked(smallFeed()), 'stops.txt': [...link] }))).toMatch(
      /^stops\.txt/,
    );
    for (const name of ['../stops.txt', '/etc/stops.txt', '..\\stops.txt']) {
      expect(await refusal(zipSync({ ...unpacked(smallFeed()), [name]: strToU8('x') }))).toMatch(
        /zip/,
      );
    }
  });

  it('refuses by size, number of files, and packing that no timetable reaches', async () => {
    const feed = zipOf(smallFeed());
    expect(await refusal(feed, { zipBytes: 500 })).toMatch('The zip has');
    expect(await refusal(feed, { entries: 3 })).toBe('The zip has more than 3 files.');
    expect(await refusal(feed, { entryBytes: 100 })).toBe(
      'calendar.txt: It has 122 bytes unpacked; up to 100 bytes are read.',
    );

    const bomb = zipSync({
      ...unpacked(smallFeed()),
      'stop_times.txt': new Uint8Array(4 * 2 ** 20),
    });
    expect(bomb.length).toBeLessThan(100_000);
    expect(await refusal(bomb)).toMatch(/stop_times\.txt: It unpacks to \d+ times its size/);
  });

  it('is not taken in by a directory that promises less than there is', async () => {
    const rows = Array.from({ length: 60_000 }, (_, i) => `T1,10:00:00,10:00:00,HEAD,${i}`);
    const bytes = zipSync({
      ...unpacked(smallFeed()),
      'stop_times.txt': strToU8(`${TIMES}\n${rows.join('\n')}\n`),
    });
    const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
    for (let at = 0; at < bytes.length - 46; at++) {
      // Central directory record (signature PK 01 02) of a large file: its size becomes 2,000 bytes.
      if (view.getUint32(at, true) === 0x02014b50 && view.getUint32(at + 24, true) > 100_000) {
        view.setUint32(at + 24, 2000, true);
      }
    }
    expect(await refusal(bytes)).toMatch(/stop_times\.txt: It can't be unpacked: too many bytes/);
  });

  it('refuses damaged and encrypted files', async () => {
    const damaged = zipOf(smallFeed());
    damaged.fill(0xff, 60, 90);
    expect(await refusal(damaged)).not.toBe('not refused');
    const encrypted = zipOf(smallFeed());
    const view = new DataView(encrypted.buffer, encrypted.byteOffset, encrypted.byteLength);
    for (let at = 0; at < encrypted.length - 46; at++) {
      if (view.getUint32(at, true) === 0x02014b50) view.setUint16(at + 8, 1, true);
    }
    expect(await refusal(encrypted)).toBe('agency.txt: It is encrypted.');
  });

  it('stops at a row without end, and at more rows than it keeps', async () => {
    const endless = smallFeed({ 'stops.txt': `stop_id,stop_name\nQUAY,"${'x'.repeat(200_000)}` });
    expect(await refusal(zipOf(endless))).toMatch('A row is too long');
    const many = Array.from({ length: 50 }, (_, i) => `S${i},Stop ${i}`).join('\n');
    const stops = smallFeed({ 'stops.txt': `stop_id,stop_name\n${many}\n` });
    expect(await refusal(zipOf(stops), { stops: 20 })).toBe(
      'stops.txt, line 22: More than 20 rows; that is more than is kept.',
    );
    expect(await refusal(zipOf(smallFeed()), { trips: 0 })).toBe(
      'trips.txt, line 2: More than 0 trips.',
    );
    expect(await refusal(zipOf(smallFeed()), { calls: 1 })).toMatch('More than 1 pairs');
  });
});

describe('damage at random', () => {
  it('is a refusal or a feed, never a fault of ours', async () => {
    const whole = zipOf(smallFeed());
    const hit = fc.tuple(fc.nat({ max: whole.length - 1 }), fc.integer({ min: 0, max: 255 }));
    await fc.assert(
      fc.asyncProperty(fc.array(hit, { minLength: 1, maxLength: 6 }), async (hits) => {
        const bytes = whole.slice();
        for (const [at, value] of hits) bytes[at] = value;
        expect(typeof (await refusal(bytes))).toBe('string');
      }),
      { numRuns: runs(150, 4000) },
    );
  });

  it('in a table is a refusal or a feed as well', async () => {
    const file = fc.constantFrom(...Object.keys(smallFeed()));
    await fc.assert(
      fc.asyncProperty(file, fc.nat(), fc.string({ maxLength: 8 }), async (name, at, text) => {
        const before = smallFeed()[name]!;
        const cut = at % before.length;
        const after = `${before.slice(0, cut)}${text}${before.slice(cut + 1)}`;
        expect(typeof (await refusal(zipOf(smallFeed({ [name]: after }))))).toBe('string');
        expect(typeof (await extractRefusal(smallFeed({ [name]: after })))).toBe('string');
      }),
      { numRuns: runs(100, 4000) },
    );
  });
});

function unpacked(files: Files): Record<string, Uint8Array> {
  return Object.fromEntries(Object.entries(files).map(([name, text]) => [name, strToU8(text)]));
}
