/** What a post costs on a long record: through the dispatcher on the real store, beside the same post on a short one. */
import { performance } from 'node:perf_hooks';
import { dispatch } from '../../src/app/dispatch.ts';
import { systemClock } from '../../src/system/clock.ts';
import type { Draft } from '../../src/trip/fact.ts';
import { instant, type World, world, ZONE } from '../helpers/world.ts';
import type { Figure } from './order.ts';

const SHORT = 16;
const LONG = 4850;
const POSTS = 60;
const PITCHES = 30;
const MINUTE = 60_000;

type Raw = Parameters<typeof dispatch>[3];

/** Posts of each sort: of the plan, which folds before the wall; and of the wall. */
const SORTS: Readonly<Record<string, (n: number) => [path: string, raw: Raw]>> = {
  topo_edit: (n) => ['topo edit', { number: 1, note: `anchor ${n}` }],
  checkin_ok: (n) => ['checkin ok', { words: `word ${n}` }],
};

/** Median milliseconds of a post on a record of 4,850 entries and on one of 16, turn by turn. */
export async function* benchRecord(): AsyncGenerator<Figure> {
  const { monoMs, sleep } = systemClock();
  const w = await world({
    throughClock: (clock) => ({ wallMs: () => clock.wallMs(), monoMs, sleep }),
  });
  try {
    await openTrip(w, 'short', SHORT);
    await openTrip(w, 'long', LONG);
    for (const [name, post] of Object.entries(SORTS)) {
      const took = { short: [] as number[], long: [] as number[] };
      for (let n = 0; n < POSTS; n++) {
        w.clock.advance(MINUTE);
        for (const channel of ['short', 'long'] as const) {
          const start = performance.now();
          await say(w, channel, ...post(n));
          took[channel].push(performance.now() - start);
        }
      }
      const [short, long] = [median(took.short), median(took.long)];
      const against = `${short.toFixed(2)} ms on one of ${SHORT}`;
      yield { name: `record.${name}.${LONG}_entries`, value: long, unit: 'ms', against };
      yield {
        name: `record.${name}.${LONG}_entries.ratio`,
        value: Math.round((long / short) * 100) / 100,
        unit: '×',
        against: `${against}; 1.5 at most`,
      };
    }
  } finally {
    await w.close();
  }
}

/** A trip whose record has so many entries: a topo, two climbers, the departure, then posts as they come. */
async function openTrip(w: World, channel: string, entries: number): Promise<void> {
  // People open their trips one a day: no rate is what is measured here.
  w.clock.set(instant(ZONE, channel === 'short' ? '2031-05-01 06:00' : '2031-05-03 06:00'));
  const rows = Array.from({ length: PITCHES }, (_, i) => `${i + 1},${30 + ((i * 7) % 20)},6a,`);
  const bytes = new TextEncoder().encode(['pitch,length_m,free,aid', ...rows].join('\n'));
  const file = { name: 'topo.csv', size: bytes.length, bytes: async () => bytes };
  await say(w, channel, 'trip open', { name: channel, zone: ZONE, lat: 62.1, lon: 6.9 });
  await say(w, channel, 'topo load', { file });
  for (const name of ['Mara', 'Jonas']) await say(w, channel, 'roster add', { name });
  await say(w, channel, 'trip depart', {});
  const row = await w.store.openTripIn(channel);
  if (row === undefined) throw new Error(channel);
  const openedMs = w.clock.wallMs();
  w.clock.advance(entries * MINUTE);
  const drafts = Array.from({ length: entries - row.seq }, (_, i) =>
    draft(i, openedMs + (i + 1) * MINUTE),
  );
  const written = await w.app.records.write({
    trip: row.id,
    key: `fill-${channel}`,
    nowMs: w.clock.wallMs(),
    by: { id: 'local:mara', name: 'Mara' },
    decide: () => drafts,
  });
  if (written.outcome !== 'written') throw new Error(JSON.stringify(written));
}

/** Of every four posts two are words by radio, one is of the rain and one of the plan. */
function draft(i: number, atMs: number): Draft {
  switch (i % 4) {
    case 0:
      return { kind: i % 8 === 0 ? 'rain.started' : 'rain.stopped', data: {}, atMs };
    case 1:
      return { kind: 'trip.edited', data: { confidence: 0.5 + (i % 400) / 1000 }, atMs };
    default:
      return { kind: 'watch.ok', data: { how: 'radio', words: `all well ${i}` }, atMs };
  }
}

async function say(w: World, channel: string, path: string, raw: Raw): Promise<void> {
  const call = {
    id: w.app.ids.event(),
    atMs: w.clock.wallMs(),
    actor: { id: 'local:mara', name: 'Mara' },
    where: { channel, direct: false },
  };
  const reply = await dispatch(w.app, call, path, raw);
  if (reply.refused) throw new Error(`${path}: ${JSON.stringify(reply.lines)}`);
}

function median(values: readonly number[]): number {
  return [...values].sort((a, b) => a - b)[values.length >> 1] as number;
}
