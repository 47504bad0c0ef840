import { strToU8, zipSync } from 'fflate';
import { departures } from '../../../src/timetable/departures.ts';
import { extractTimetable, type FeedChoice } from '../../../src/timetable/gtfs/extract.ts';
import { sayRefusal } from '../../../src/timetable/gtfs/refusal.ts';
import type { Timetable } from '../../../src/timetable/timetable.ts';

export type Files = Record<string, string>;

/** A feed's zip from its files. */
export function zipOf(files: Files): Uint8Array {
  return zipSync(
    Object.fromEntries(Object.entries(files).map(([name, text]) => [name, strToU8(text)])),
  );
}

/**
 * The complete example feed of the GTFS reference (sample-feed-1, linked from gtfs.org/schedule/
 * example-feed), its rows rebuilt. Columns that are empty throughout and the fare and shape files are
 * left out, the agency's address is replaced, and stop names are shortened; the last rows of
 * stop_times.txt leave out trailing fields as they do there.
 */
export const EXAMPLE: Files = {
  'agency.txt':
    'agency_id,agency_name,agency_url,agency_timezone\nDTA,Demo Transit Authority,http://example.org,America/Los_Angeles\n',
  'stops.txt': `stop_id,stop_name,stop_desc,stop_lat,stop_lon,zone_id,stop_url
FUR_CREEK_RES,Furnace Creek Resort (Demo),,36.425288,-117.133162,,
BEATTY_AIRPORT,Nye County Airport (Demo),,36.868446,-116.784582,,
BULLFROG,Bullfrog (Demo),,36.88108,-116.81797,,
STAGECOACH,Stagecoach Hotel & Casino (Demo),,36.915682,-116.751677,,
NADAV,North Ave / D Ave N (Demo),,36.914893,-116.76821,,
NANAA,North Ave / N A Ave (Demo),,36.914944,-116.761472,,
DADAN,Doing Ave / D Ave N (Demo),,36.909489,-116.768242,,
EMSI,E Main St / S Irving St (Demo),,36.905697,-116.76218,,
AMV,Amargosa Valley (Demo),,36.641496,-116.40094,,
`,
  'routes.txt': `route_id,agency_id,route_short_name,route_long_name,route_desc,route_type
AB,DTA,10,Airport - Bullfrog,,3
BFC,DTA,20,Bullfrog - Furnace Creek Resort,,3
STBA,DTA,30,Stagecoach - Airport Shuttle,,3
CITY,DTA,40,City,,3
AAMV,DTA,50,Airport - Amargosa Valley,,3
`,
  'trips.txt': `route_id,service_id,trip_id,trip_headsign,direction_id,block_id,shape_id
AB,FULLW,AB1,to Bullfrog,0,1,
AB,FULLW,AB2,to Airport,1,2,
STBA,FULLW,STBA,Shuttle,,,
CITY,FULLW,CITY1,,0,,
CITY,FULLW,CITY2,,1,,
BFC,FULLW,BFC1,to Furnace Creek Resort,0,1,
BFC,FULLW,BFC2,to Bullfrog,1,2,
AAMV,WE,AAMV1,to Amargosa Valley,0,,
AAMV,WE,AAMV2,to Airport,1,,
AAMV,WE,AAMV3,to Amargosa Valley,0,,
AAMV,WE,AAMV4,to Airport,1,,
`,
  'stop_times.txt': `trip_id,arrival_time,departure_time,stop_id,stop_sequence,stop_headsign,pickup_type,drop_off_type,shape_dist_traveled
STBA,6:00:00,6:00:00,STAGECOACH,1,,,,
STBA,6:20:00,6:20:00,BEATTY_AIRPORT,2,,,,
CITY1,6:00:00,6:00:00,STAGECOACH,1,,,,
CITY1,6:05:00,6:07:00,NANAA,2,,,,
CITY1,6:12:00,6:14:00,NADAV,3,,,,
CITY1,6:19:00,6:21:00,DADAN,4,,,,
CITY1,6:26:00,6:28:00,EMSI,5,,,,
CITY2,6:28:00,6:30:00,EMSI,1,,,,
CITY2,6:35:00,6:37:00,DADAN,2,,,,
CITY2,6:42:00,6:44:00,NADAV,3,,,,
CITY2,6:49:00,6:51:00,NANAA,4,,,,
CITY2,6:56:00,6:58:00,STAGECOACH,5,,,,
AB1,8:00:00,8:00:00,BEATTY_AIRPORT,1,,,,
AB1,8:10:00,8:15:00,BULLFROG,2,,,,
AB2,12:05:00,12:05:00,BULLFROG,1,,,,
AB2,12:15:00,12:15:00,BEATTY_AIRPORT,2
BFC1,8:20:00,8:20:00,BULLFROG,1
BFC1,9:20:00,9:20:00,FUR_CREEK_RES,2
BFC2,11:00:00,11:00:00,FUR_CREEK_RES,1
BFC2,12:00:00,12:00:00,BULLFROG,2
AAMV1,8:00:00,8:00:00,BEATTY_AIRPORT,1
AAMV1,9:00:00,9:00:00,AMV,2
AAMV2,10:00:00,10:00:00,AMV,1
AAMV2,11:00:00,11:00:00,BEATTY_AIRPORT,2
AAMV3,13:00:00,13:00:00,BEATTY_AIRPORT,1
AAMV3,14:00:00,14:00:00,AMV,2
AAMV4,15:00:00,15:00:00,AMV,1
AAMV4,16:00:00,16:00:00,BEATTY_AIRPORT,2
`,
  'calendar.txt': `service_id,monday,tuesday,wednesday,thursday,friday,saturday,sunday,start_date,end_date
FULLW,1,1,1,1,1,1,1,20070101,20101231
WE,0,0,0,0,0,1,1,20070101,20101231
`,
  'calendar_dates.txt': 'service_id,date,exception_type\nFULLW,20070604,2\n',
  'frequencies.txt': `trip_id,start_time,end_time,headway_secs
STBA,6:00:00,22:00:00,1800
CITY1,6:00:00,7:59:59,1800
CITY2,6:00:00,7:59:59,1800
CITY1,8:00:00,9:59:59,600
CITY2,8:00:00,9:59:59,600
CITY1,10:00:00,15:59:59,1800
CITY2,10:00:00,15:59:59,1800
CITY1,16:00:00,18:59:59,600
CITY2,16:00:00,18:59:59,600
CITY1,19:00:00,22:00:00,1800
CITY2,19:00:00,22:00:00,1800
`,
};

/** A small invented feed; parts of it are replaced by what a test is about. */
export function smallFeed(parts: Files = {}): Files {
  const files: Files = {
    'agency.txt':
      'agency_name,agency_url,agency_timezone\nGorge Boats,http://example.org,Europe/Oslo\n',
    'stops.txt': 'stop_id,stop_name\nQUAY,Lantern Quay\nHEAD,Gorge Head\nTOWN,Harrow Pier\n',
    'routes.txt': 'route_id,route_short_name,route_long_name,route_type\nR,1,Gorge Boat,4\n',
    'trips.txt': 'route_id,service_id,trip_id\nR,D,T1\n',
    'stop_times.txt':
      'trip_id,arrival_time,departure_time,stop_id,stop_sequence\nT1,10:00:00,10:00:00,HEAD,1\nT1,10:40:00,10:40:00,QUAY,2\n',
    'calendar.txt':
      'service_id,monday,tuesday,wednesday,thursday,friday,saturday,sunday,start_date,end_date\nD,1,1,1,1,1,1,1,20310101,20311231\n',
    ...parts,
  };
  // A part given as an empty text is left out of the zip.
  return Object.fromEntries(Object.entries(files).filter(([, text]) => text !== ''));
}

export function dayOf(text: string) {
  const [year, month, day] = text.split('-').map(Number) as [number, number, number];
  return { year, month, day };
}

export type Pick = Omit<FeedChoice, 'from' | 'to'> & { from: string; to: string };

export async function timetableOf(files: Files, pick: Pick): Promise<Timetable> {
  const choice = { ...pick, from: dayOf(pick.from), to: dayOf(pick.to) };
  const result = await extractTimetable(zipOf(files), choice);
  if (!result.ok) throw new Error(sayRefusal(result.refusal));
  return JSON.parse(JSON.stringify(result.value.timetable)) as Timetable;
}

/** Local `DD HH:MM:SS` of all departures between two instants, `last` where it is the day's last. */
export function shown(timetable: Timetable, from: string, to: string): string[] {
  const format = new Intl.DateTimeFormat('en-GB', {
    timeZone: timetable.zone,
    ...{ day: '2-digit', hour: '2-digit', minute: '2-digit', second: '2-digit' },
  });
  return departures(timetable, Date.parse(from), Date.parse(to)).map(
    ({ atMs, last }) =>
      `${format.format(atMs).replace(',', '').replace(' at', '')}${last ? ' last' : ''}`,
  );
}
