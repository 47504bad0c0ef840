/** What the store costs: posts, ticks, a great falling-due, start-up, a purge. On real files. */
import { mkdtempSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { performance } from 'node:perf_hooks';
import type { Store } from '../../src/store/port.ts';
import { sqlite } from '../../src/store/sqlite/driver.ts';
import { openSqliteStore } from '../../src/store/sqlite/store.ts';
import { append, DAWN_MS, notice, open } from '../store/posts.ts';

const Sqlite = sqlite();

export interface Figure {
  name: string;
  value: number;
  unit: string;
  /** What it is held against, measured in the same run. */
  against?: string;
}

const POSTS = 2000;
/** Posts that arrive in the same turn of the event loop. */
const TOGETHER = 50;

export async function* benchStore(): AsyncGenerator<Figure> {
  const folder = mkdtempSync(join(tmpdir(), 'tagline-bench-'));
  try {
    yield* posts(folder);
    yield* ticks(folder);
    yield* greatFallingDue(folder);
    yield* startUp(folder);
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

async function* posts(folder: string): AsyncGenerator<Figure> {
  const bare = bareCommitsPerS(join(folder, 'bare.db'));
  const against = `${round(bare)}/s by bare better-sqlite3, one row a commit, synchronous FULL`;
  const store = openSqliteStore({ path: join(folder, 'posts.db') });
  for (let i = 0; i <= TOGETHER; i++) await open(store, `t${i}`);

  let startMs = performance.now();
  for (let seq = 1; seq <= POSTS; seq++) await store.append(post('t0', seq));
  const alone = perS(POSTS, startMs);
  yield { name: 'store.append.one_by_one', value: round(alone), unit: '/s', against };
  yield { name: 'store.append.one_by_one.ratio', value: ratio(alone, bare), unit: 'x', against };

  // Every trip gets a post in every turn, as when many channels post at once.
  startMs = performance.now();
  for (let seq = 1; seq <= POSTS / TOGETHER; seq++) {
    await Promise.all([...Array(TOGETHER).keys()].map((i) => store.append(post(`t${i + 1}`, seq))));
  }
  const together = perS(POSTS, startMs);
  await store.close();
  yield { name: `store.append.${TOGETHER}_at_once`, value: round(together), unit: '/s', against };
  yield {
    name: 'store.append.group_commit_gain',
    value: ratio(together, alone),
    unit: 'x',
    against: 'the same posts one by one',
  };
}

async function* ticks(folder: string): AsyncGenerator<Figure> {
  const path = join(folder, 'quiet.db');
  const store = openSqliteStore({ path });
  const few = await tickUs(store, 1000);
  await openMany(store, 100_000, DAWN_MS + 3_600_000);
  const many = await tickUs(store, 1000);
  await store.close();
  yield {
    name: 'store.tick.100000_trips_nothing_due',
    value: round(many),
    unit: 'us',
    against: `${round(few)} us with no trip at all`,
  };
}

async function* greatFallingDue(folder: string): AsyncGenerator<Figure> {
  const store = openSqliteStore({ path: join(folder, 'due.db') });
  await openMany(store, 10_000, DAWN_MS);
  let startMs = performance.now();
  let fired = 0;
  for (;;) {
    const due = await store.due(DAWN_MS, 500);
    if (due.length === 0) break;
    const results = await Promise.all(
      due.map(({ trip, key }, i) => {
        const notices = [notice(trip, `${trip}-${key}`, { urgency: i % 4 })];
        return store.fire({ trip, keys: [key], atMs: DAWN_MS, notices });
      }),
    );
    fired += results.filter((r) => r === 'fired').length;
  }
  const fireMs = performance.now() - startMs;
  startMs = performance.now();
  let delivered = 0;
  for (;;) {
    const lot = await store.claimNotices({
      nowMs: DAWN_MS,
      owner: 'bench',
      leaseUntilMs: DAWN_MS + 60_000,
      limit: 50,
    });
    if (lot.length === 0) break;
    const outcome = { status: 'sent' as const, receipt: 'm' };
    await store.recordDeliveries(lot.map(({ key }) => ({ key, atMs: DAWN_MS, outcome })));
    delivered += lot.length;
  }
  const deliverS = (performance.now() - startMs) / 1000;
  await store.close();
  if (fired !== 10_000 || delivered !== 10_000)
    throw new Error(`${fired} fired, ${delivered} sent`);
  yield { name: 'store.10000_due_at_once.queued', value: round(fireMs), unit: 'ms' };
  yield {
    name: 'store.10000_due_at_once.claimed_and_recorded',
    value: round(delivered / deliverS),
    unit: '/s',
    // Discord, topics/rate-limits: 50 requests a second for a bot.
    against: `Discord's limit of 50/s: ${round(delivered / deliverS / 50)} times as fast`,
  };
}

async function* startUp(folder: string): AsyncGenerator<Figure> {
  const path = join(folder, 'start.db');
  const filling = openSqliteStore({ path });
  await openMany(filling, 10_000, DAWN_MS + 3_600_000);
  for (let seq = 1; seq <= 20; seq++) await postToAll(filling, 10_000, seq);
  await filling.close();
  const against = `${round(statSync(path).size / 1e6)} MB with 10,000 open trips, 210,000 events`;
  let startMs = performance.now();
  const store = openSqliteStore({ path });
  yield { name: 'store.open', value: round(performance.now() - startMs), unit: 'ms', against };
  startMs = performance.now();
  await store.purge('t7', DAWN_MS);
  yield { name: 'store.purge', value: round(performance.now() - startMs), unit: 'ms', against };
  startMs = performance.now();
  await store.backup(join(folder, 'copy.db'));
  yield { name: 'store.backup', value: round(performance.now() - startMs), unit: 'ms', against };
  await store.close();
}

/** The least that a durable post can cost here: one short row, one transaction, one sync. */
function bareCommitsPerS(path: string): number {
  const db = new Sqlite(path);
  db.pragma('journal_mode = WAL');
  db.pragma('synchronous = FULL');
  db.exec('CREATE TABLE post (n INTEGER PRIMARY KEY, data TEXT NOT NULL) STRICT');
  const add = db.prepare('INSERT INTO post (data) VALUES (?)');
  const startMs = performance.now();
  for (let i = 0; i < POSTS; i++) add.run('{"pitch":5}');
  const rate = perS(POSTS, startMs);
  db.close();
  return rate;
}

function post(trip: string, seq: number) {
  const deadlines = [
    { key: 'down', dueAtMs: DAWN_MS + seq, data: { phase: 'due' } },
    { key: 'topout', dueAtMs: DAWN_MS + seq, data: { phase: 'due' } },
  ];
  return append(trip, seq, { deadlines });
}

async function openMany(store: Store, trips: number, dueAtMs: number): Promise<void> {
  const deadlines = [{ key: 'down', dueAtMs, data: { phase: 'due' } }];
  await inLots(trips, (i) => open(store, `t${i}`, { deadlines }));
}

async function postToAll(store: Store, trips: number, seq: number): Promise<void> {
  await inLots(trips, (i) => store.append(post(`t${i}`, seq)));
}

async function inLots(count: number, work: (i: number) => Promise<unknown>): Promise<void> {
  for (let from = 0; from < count; from += 500) {
    const lot = Array.from({ length: Math.min(500, count - from) }, (_, i) => work(from + i));
    await Promise.all(lot);
  }
}

/** What the loop asks at every tick, in microseconds, when there is nothing to do. */
async function tickUs(store: Store, times: number): Promise<number> {
  const startMs = performance.now();
  for (let i = 0; i < times; i++) {
    const due = await store.due(DAWN_MS, 500);
    if (due.length > 0) throw new Error('something was due');
    await store.nextDue();
    await store.nextNoticeAt();
  }
  return ((performance.now() - startMs) * 1000) / times;
}

const perS = (count: number, startMs: number) => (count * 1000) / (performance.now() - startMs);
const ratio = (value: number, to: number) => Math.round((value / to) * 100) / 100;
const round = (value: number) => (value < 100 ? Math.round(value * 10) / 10 : Math.round(value));
