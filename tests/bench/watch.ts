/** What the watch costs: a great falling-due, start-up, a tick with nothing to do. On real files. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { performance } from 'node:perf_hooks';
import { pino } from 'pino';
import { deriveWatch } from '../../src/alarm/derive.ts';
import { Watch } from '../../src/delivery/loop.ts';
import { NO_COUNTERS, type WatchParts } from '../../src/delivery/ports.ts';
import type { Store } from '../../src/store/port.ts';
import { sqlite } from '../../src/store/sqlite/driver.ts';
import { openSqliteStore } from '../../src/store/sqlite/store.ts';
import { DAWN_MS, HOUR, MINUTE, opened } from '../alarm/trip.ts';
import { quietRecords } from '../chat/fakes.ts';
import { ManualClock } from '../helpers/clock.ts';
import type { Figure } from './store.ts';

const TRIPS = 10_000;
/** Discord, topics/rate-limits: requests a second for a bot. */
const DISCORD_PER_S = 50;
/** Everything falls due in the minute before this. */
const NOON_MS = DAWN_MS + 6 * HOUR;

export async function* benchWatch(): AsyncGenerator<Figure> {
  const folder = mkdtempSync(join(tmpdir(), 'tagline-bench-'));
  try {
    yield* greatFallingDue(join(folder, 'due.db'));
    yield* startUp(join(folder, 'start.db'));
    yield* quietTick(join(folder, 'quiet.db'));
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

async function* greatFallingDue(path: string): AsyncGenerator<Figure> {
  const store = openSqliteStore({ path });
  await openMany(store, TRIPS, (i) => NOON_MS - Math.floor((i * MINUTE) / TRIPS));
  const { watch, sent, clock } = scene(store);
  clock.set(NOON_MS);
  const before = process.memoryUsage.rss();
  // The outbox is kept shut while deadlines fire, to time the firing alone.
  const [fireMs, peak] = await timed(() => watch.tick(), sent);
  await store.close();
  const firstSent = sent[0]?.atMs ?? 0;
  const queuedS = (firstSent - fireMs.startMs) / 1000;
  const sendS = ((sent.at(-1)?.atMs ?? 0) - firstSent) / 1000;
  const perS = sent.length / sendS;
  yield {
    name: `watch.${TRIPS}_due_at_once.queued`,
    value: round(queuedS),
    unit: 's',
    against: `3 s; ${Math.round(TRIPS / queuedS)} trips/s read, judged and stored with their notices`,
  };
  yield {
    name: `watch.${TRIPS}_due_at_once.delivered`,
    value: Math.round(perS),
    unit: '/s',
    against: `Discord's limit of ${DISCORD_PER_S}/s for ${sent.length} notices`,
  };
  yield {
    name: `watch.${TRIPS}_due_at_once.delivered.ratio`,
    value: round(perS / DISCORD_PER_S),
    unit: 'x',
    against: `Discord's limit of ${DISCORD_PER_S}/s: above 1 the limit is what is waited for`,
  };
  yield {
    name: `watch.${TRIPS}_due_at_once.out_of_order`,
    value: outOfOrder(sent.map((s) => s.urgency)),
    unit: 'notices',
    against: 'sent after something less urgent; distress goes first',
  };
  yield {
    name: `watch.${TRIPS}_due_at_once.memory`,
    value: Math.round((peak - before) / 1e6),
    unit: 'MB',
    against: `${Math.round(before / 1e6)} MB before`,
  };
}

async function* startUp(path: string): AsyncGenerator<Figure> {
  const filling = openSqliteStore({ path });
  await openMany(filling, TRIPS, () => NOON_MS + HOUR, 1);
  await filling.close();
  const startMs = performance.now();
  const store = openSqliteStore({ path });
  const { watch, clock } = scene(store);
  clock.set(NOON_MS);
  await watch.tick();
  const tookMs = performance.now() - startMs;
  await store.close();
  const rowsMs = readingRowsMs(path);
  const against = `${round(rowsMs)} ms for reading their rows by bare better-sqlite3`;
  const name = `watch.start.${TRIPS}_open_trips`;
  yield { name, value: round(tookMs), unit: 'ms', against: 'to the end of the first tick' };
  yield { name: `${name}.ratio`, value: round(tookMs / rowsMs), unit: '×', against };
}

/** Opens the file and reads every row of trips, entries and deadlines. */
function readingRowsMs(path: string): number {
  const startMs = performance.now();
  const db = new (sqlite())(path, { readonly: true });
  for (const table of ['trip', 'event', 'deadline']) db.prepare(`SELECT * FROM ${table}`).all();
  db.close();
  return performance.now() - startMs;
}

async function* quietTick(path: string): AsyncGenerator<Figure> {
  const store = openSqliteStore({ path });
  const few = await tickUs(store);
  await openMany(store, 100_000, () => NOON_MS + HOUR, 1);
  const many = await tickUs(store);
  await store.close();
  yield {
    name: 'watch.tick.100000_trips_nothing_due',
    value: round(many),
    unit: 'us',
    against: `${round(few)} us with no trip at all`,
  };
}

async function tickUs(store: Store): Promise<number> {
  const { watch, clock } = scene(store);
  clock.set(NOON_MS);
  await watch.tick();
  const startMs = performance.now();
  for (let i = 0; i < 500; i++) await watch.tick();
  return ((performance.now() - startMs) * 1000) / 500;
}

interface SentNotice {
  urgency: number;
  atMs: number;
}

function scene(store: Store) {
  const clock = new ManualClock();
  const sent: SentNotice[] = [];
  const take = async (urgency: number) => {
    sent.push({ urgency, atMs: performance.now() });
    return { ok: true, receipt: 'b' } as const;
  };
  const parts: WatchParts = {
    store,
    clock,
    log: pino({ level: 'silent' }),
    ways: { channel: (_c, { urgency = 0 }) => take(urgency) },
    records: quietRecords(store),
    organizer: 'watch@example.org',
    owner: 'bench/1/1',
    counters: NO_COUNTERS,
  };
  return { watch: new Watch(parts), clock, sent };
}

/** Runs and watches how far memory goes up. */
async function timed(
  work: () => Promise<void>,
  sent: readonly unknown[],
): Promise<[{ startMs: number }, number]> {
  let peak = process.memoryUsage.rss();
  const startMs = performance.now();
  let running = true;
  const look = async () => {
    while (running) {
      peak = Math.max(peak, process.memoryUsage.rss());
      await new Promise((resolve) => setTimeout(resolve, 20));
    }
  };
  const looking = look();
  await work();
  running = false;
  await looking;
  if (sent.length < TRIPS) throw new Error(`${sent.length} notices of ${TRIPS} trips`);
  return [{ startMs }, peak];
}

/** How many came after something less urgent. */
function outOfOrder(urgencies: readonly number[]): number {
  let lowest = -1;
  let count = 0;
  for (const urgency of urgencies) {
    if (urgency < lowest) count += 1;
    lowest = Math.max(lowest, urgency);
  }
  return count;
}

/**
 * Trips of each phase in turn, or of distress alone: their expected time lies so that the phase's own time is `dueMs`.
 * Without contacts, so that a trip makes one notice, in the channel.
 */
async function openMany(
  store: Store,
  trips: number,
  dueMs: (i: number) => number,
  kinds = 4,
): Promise<void> {
  for (let from = 0; from < trips; from += 500) {
    const lot = Array.from({ length: Math.min(500, trips - from) }, (_, i) =>
      one(store, from + i, dueMs(from + i), (from + i) % kinds),
    );
    await Promise.all(lot);
  }
}

async function one(store: Store, i: number, atMs: number, phase: number): Promise<void> {
  const trip = `b${String(i).padStart(7, '0')}`;
  const story = opened(trip).tell(
    phase === 0
      ? { kind: 'watch.planned', data: { calloutMs: atMs } }
      : {
          kind: 'watch.planned',
          data: { downMs: atMs - ([0, 120, 30, 0][phase] as number) * MINUTE },
        },
    { kind: 'roster.removed', data: { id: 'dana' } },
    { kind: 'roster.removed', data: { id: 'pal' } },
    { kind: 'trip.departed', at: DAWN_MS },
  );
  const { state, events } = story;
  const { deadlines } = deriveWatch({ before: undefined, after: state, events, nowMs: DAWN_MS });
  const opening = { id: trip, channel: `c-${trip}`, openedAtMs: DAWN_MS };
  const rest = { members: ['u-mara'], status: 'open', name: state.name, notices: [] } as const;
  const stored = await store.openTrip(opening, {
    key: trip,
    events,
    answer: null,
    deadlines,
    ...rest,
  });
  if (!stored.ok) throw new Error(stored.why);
  // What was to be asked early has been asked by noon: it rings no more, here as in a watch that was there.
  const asked = deadlines.filter((d) => d.key.startsWith('ask:') && d.dueAtMs <= NOON_MS);
  const keys = asked.map((d) => d.key);
  await store.fire({ trip, keys, atMs: NOON_MS, notices: [] });
}

const round = (value: number) => (value < 100 ? Math.round(value * 100) / 100 : Math.round(value));
