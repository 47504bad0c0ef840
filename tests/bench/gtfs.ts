import { performance } from 'node:perf_hooks';
import { scheduler } from 'node:timers/promises';
import { strToU8, Zip, ZipDeflate } from 'fflate';
import { departures } from '../../src/timetable/departures.ts';
import { extractTimetable } from '../../src/timetable/gtfs/extract.ts';
import { listFeed } from '../../src/timetable/gtfs/listing.ts';
import { sayRefusal } from '../../src/timetable/gtfs/refusal.ts';

interface Figure {
  name: string;
  value: number;
  unit: string;
  against?: string;
}

const ROUTES = 400;
const STOPS_PER_ROUTE = 30;
const TRIPS_PER_ROUTE = 250;
const MB = 2 ** 20;

const two = (value: number) => String(value).padStart(2, '0');

/** An invented feed of a large region, packed piece by piece so that making it stays small too. */
function largeFeed(): { bytes: Uint8Array; timesBytes: number; rows: number } {
  const chunks: Uint8Array[] = [];
  const zip = new Zip((error, chunk) => {
    if (error) throw error;
    chunks.push(chunk);
  });
  let timesBytes = 0;
  const put = (name: string, pieces: Iterable<string>) => {
    const file = new ZipDeflate(name, { level: 6 });
    zip.add(file);
    for (const piece of pieces) {
      const bytes = strToU8(piece);
      if (name === 'stop_times.txt') timesBytes += bytes.length;
      file.push(bytes);
    }
    file.push(new Uint8Array(), true);
  };
  const routes = Array.from({ length: ROUTES }, (_, r) => r);
  put('agency.txt', [
    'agency_name,agency_url,agency_timezone\nRegion,http://example.org,Europe/Oslo\n',
  ]);
  put('stops.txt', ['stop_id,stop_name\n', ...routes.map(stopsOf)]);
  put('routes.txt', ['route_id,route_short_name\n', ...routes.map((r) => `R${r},${r}\n`)]);
  put('trips.txt', ['route_id,service_id,trip_id,direction_id\n', ...routes.map(tripsOf)]);
  put('calendar.txt', [
    'service_id,monday,tuesday,wednesday,thursday,friday,saturday,sunday,start_date,end_date\n',
    'D,1,1,1,1,1,1,1,20310101,20311231\n',
  ]);
  put('stop_times.txt', timesOf());
  zip.end();
  const rows = ROUTES * TRIPS_PER_ROUTE * STOPS_PER_ROUTE;
  return { bytes: Buffer.concat(chunks), timesBytes, rows };
}

function stopsOf(r: number): string {
  return Array.from({ length: STOPS_PER_ROUTE }, (_, s) => `S${r}-${s},Stop ${r} ${s}\n`).join('');
}

function tripsOf(r: number): string {
  return Array.from({ length: TRIPS_PER_ROUTE }, (_, t) => `R${r},D,T${r}-${t},${t % 2}\n`).join(
    '',
  );
}

function* timesOf(): Generator<string> {
  yield 'trip_id,arrival_time,departure_time,stop_id,stop_sequence\n';
  for (let r = 0; r < ROUTES; r++) {
    for (let t = 0; t < TRIPS_PER_ROUTE; t++) {
      let text = '';
      for (let s = 0; s < STOPS_PER_ROUTE; s++) {
        const min = 300 + t * 4 + s * 3 + (r % 4);
        const time = `${two(Math.floor(min / 60))}:${two(min % 60)}:00`;
        const stop = t % 2 === 0 ? s : STOPS_PER_ROUTE - 1 - s;
        text += `T${r}-${t},${time},${time},S${r}-${stop},${s}\n`;
      }
      yield text;
    }
  }
}

/** Most memory in use while `work` runs, looked at 200 times a second, above what was in use before. */
async function peakMb(work: () => Promise<void>): Promise<{ heapMb: number; blockedMs: number }> {
  globalThis.gc?.();
  const before = process.memoryUsage();
  const startMb = (before.heapUsed + before.external) / MB;
  let most = startMb;
  let blockedMs = 0;
  let seenMs = performance.now();
  const watch = setInterval(() => {
    const { heapUsed, external } = process.memoryUsage();
    most = Math.max(most, (heapUsed + external) / MB);
    blockedMs = Math.max(blockedMs, performance.now() - seenMs - 5);
    seenMs = performance.now();
  }, 5);
  try {
    await work();
  } finally {
    clearInterval(watch);
  }
  return { heapMb: most - startMb, blockedMs };
}

/** A feed of a large region: time, memory, and how long the event loop waits. */
export async function* benchGtfs(): AsyncGenerator<Figure> {
  const { bytes, timesBytes, rows } = largeFeed();
  const against = `${rows.toLocaleString('en')} rows, ${Math.round(timesBytes / MB)} MB of stop_times.txt, zip of ${Math.round(bytes.length / MB)} MB`;
  // The machine itself lets a loop wait now and then, the more so when others use it.
  const idle = await peakMb(async () => {
    for (let turn = 0; turn < 200; turn++) await scheduler.wait(10);
  });
  const idleBlock = `${idle.blockedMs.toFixed(1)} ms in an idle loop, ${against}`;
  let start = performance.now();
  const listing = await peakMb(async () => {
    const result = await listFeed(bytes);
    if (!result.ok) throw new Error(sayRefusal(result.refusal));
  });
  yield { name: 'gtfs_list_time', value: (performance.now() - start) / 1000, unit: 's', against };
  yield { name: 'gtfs_list_memory', value: listing.heapMb, unit: 'MB', against };
  yield {
    name: 'gtfs_list_longest_block',
    value: listing.blockedMs,
    unit: 'ms',
    against: idleBlock,
  };

  start = performance.now();
  let storedBytes = 0;
  const day = (n: number) => ({ year: 2031, month: 6, day: n });
  const choice = {
    stopId: 'S7-4',
    routeId: 'R7',
    direction: 0,
    from: day(1),
    to: day(30),
  } as const;
  const extract = await peakMb(async () => {
    const result = await extractTimetable(bytes, choice);
    if (!result.ok) throw new Error(sayRefusal(result.refusal));
    const { timetable } = result.value;
    storedBytes = JSON.stringify(timetable).length;
    const found = departures(timetable, Date.UTC(2031, 5, 12), Date.UTC(2031, 5, 15));
    if (found.length !== (3 * TRIPS_PER_ROUTE) / 2) throw new Error(`${found.length} departures`);
  });
  yield {
    name: 'gtfs_extract_time',
    value: (performance.now() - start) / 1000,
    unit: 's',
    against,
  };
  yield { name: 'gtfs_extract_memory', value: extract.heapMb, unit: 'MB', against };
  yield {
    name: 'gtfs_extract_longest_block',
    value: extract.blockedMs,
    unit: 'ms',
    against: idleBlock,
  };
  yield { name: 'gtfs_stored', value: storedBytes / 1024, unit: 'kB' };
}
