/**
 * Kills the real bot at random moments, with SIGKILL, while posts and deadlines flow through the
 * loopback stand-in: `node .bench/tests/faults/main.js [kills] [seed]`. Afterwards every answered post
 * is in the record, every notice that was due has been delivered, and none was shown twice. Then the
 * same with a disk that is full and with one that can't be written.
 *
 * SIGKILL leaves the page cache whole, so this shows nothing about power loss; what guards that is the
 * store's own check that every commit waits for the disk.
 */
import { chmodSync, mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { performance } from 'node:perf_hooks';
import fc from 'fast-check';
import { openSqliteStore } from '../../src/store/sqlite/store.ts';
import { systemClock } from '../../src/system/clock.ts';
import { type SpawnedStand, spawnStand } from '../discord/spawned.ts';
import { type BotProcess, kill, startBot, stop } from './bot.ts';
import { assertSound, checkRecord, type Totals } from './check.ts';
import { GUILD, openPosts, openSilent, POSTS, SilentTrip, say } from './trips.ts';

const kills = Number(process.argv[2] ?? 200);
const seed = Number(process.argv[3] ?? 20310612);
const clock = systemClock();
const said = (text: string) => void process.stdout.write(`${text}\n`);

/** How long after it came up each kill falls, in milliseconds, and how many posts it is given. */
const PLAN = fc.sample(
  fc.tuple(fc.integer({ min: 0, max: 1200 }), fc.integer({ min: 1, max: 6 })),
  {
    numRuns: kills,
    seed,
  },
);

const folder = mkdtempSync(join(tmpdir(), 'tagline-faults-'));
const stand = await spawnStand(join(import.meta.dirname, '../discord/process.js'));
try {
  said(`faults: ${kills} kills, seed ${seed}`);
  await people(stand);
  const startMs = performance.now();
  const settings = { apiUrl: stand.apiUrl, token: stand.token, dataDir: join(folder, 'data') };
  const acked: string[] = [];
  const trips = Array.from(
    { length: 8 },
    (_, i) => new SilentTrip(stand, `wall-${i}`, i % 2 === 1),
  );
  let bot = await up(stand, () => startBot(settings), true);
  await openPosts(stand);
  for (const { channel } of trips) await openSilent(stand, channel);
  for (const [i, [afterMs, posts]] of PLAN.entries()) {
    const open = post(stand, i, posts, acked);
    for (const trip of trips) void trip.next().catch(() => undefined);
    await clock.sleep(afterMs);
    await kill(bot);
    void open;
    for (const trip of trips) trip.forget();
    bot = await up(stand, () => startBot(settings), false);
    if ((i + 1) % 50 === 0) said(`  ${i + 1} kills, ${acked.length} posts answered`);
  }
  // What was planned last falls due within a minute, and its alarm goes up over two.
  await clock.sleep(4 * 60_000);
  await stop(bot);
  const seconds = Math.round((performance.now() - startMs) / 1000);
  const path = join(settings.dataDir, 'tagline.db');
  assertSound(path);
  const store = openSqliteStore({ path });
  const totals = await checkRecord({ stand, store, nowMs: clock.wallMs(), acked, trips });
  await store.close();
  report(totals, seconds);
  await fullDisk(stand, join(folder, 'full'));
  await readOnly(stand, join(folder, 'full'));
} finally {
  await stand.close();
  rmSync(folder, { recursive: true, force: true });
}

async function people(at: SpawnedStand): Promise<void> {
  await at.order({ do: 'user', name: 'Mara' });
  await at.order({ do: 'user', name: 'Dana' });
  await at.order({ do: 'guild', name: GUILD, members: ['Mara', 'Dana'] });
  const channels = [POSTS, 'full', ...Array.from({ length: 8 }, (_, i) => `wall-${i}`)];
  for (const name of channels) await at.order({ do: 'channel', guild: GUILD, name });
}

async function up(at: SpawnedStand, start: () => BotProcess, first: boolean): Promise<BotProcess> {
  const ready = at.order({ do: 'next-ready' });
  const bot = start();
  const died = bot.ended.then(({ code, said: why }) => {
    throw new Error(`the bot did not come up (${code}): ${why}`);
  });
  await Promise.race([ready, died]);
  died.catch(() => undefined);
  if (first) await at.order({ do: 'registered' });
  return bot;
}

/** Posts words one after the other; those answered go to `acked`, and only those. */
async function post(at: SpawnedStand, cycle: number, count: number, to: string[]): Promise<void> {
  for (let n = 0; n < count; n++) {
    const words = `word ${cycle}-${n}`;
    const text = await say(at, 'Mara', POSTS, '/checkin ok', { words }).catch(() => '');
    if (text.startsWith('Well at')) to.push(words);
  }
}

function report(totals: Totals, seconds: number): void {
  const { posts, lost, notices, undelivered, why, shown, twice, folded, planned, unasked } = totals;
  said(`faults.kills = ${kills} in ${seconds} s`);
  said(`faults.posts_answered = ${posts}, lost = ${lost}`);
  said(`faults.times_confirmed = ${planned}, never_asked_about = ${unasked}`);
  for (const line of why.slice(0, 20)) said(`  ${line}`);
  said(`faults.notices = ${notices}, undelivered = ${undelivered}`);
  said(
    `faults.messages_shown = ${shown}, shown_twice = ${twice} (${folded} repeats folded by their nonce)`,
  );
  if (lost + undelivered + twice + unasked > 0) throw new Error('a promise was broken');
  if (posts < kills / 2 || planned < 8) throw new Error('too little happened to prove anything');
}

/** A disk without room: posts are refused, none of the answered ones is lost, and it goes on afterwards. */
async function fullDisk(at: SpawnedStand, dataDir: string): Promise<void> {
  const settings = { apiUrl: at.apiUrl, token: at.token, dataDir };
  let bot = await up(at, () => startBot({ ...settings, fileBlocks: 2000 }), false);
  const mara = (path: string, options = {}) => say(at, 'Mara', 'full', path, options);
  await mara('/trip open', { name: 'Full', zone: 'Europe/Oslo' });
  const answered: string[] = [];
  let refused = 0;
  for (let i = 0; i < 2000 && refused < 5; i++) {
    const about = `${i} ${'x'.repeat(280)}`;
    const text = await mara('/overdue details', { notes: about });
    if (text.startsWith('On the sheet')) answered.push(about);
    else refused += 1;
  }
  await kill(bot);
  if (refused === 0) throw new Error('the disk never became full');
  bot = await up(at, () => startBot(settings), false);
  const again = await mara('/overdue details', { notes: 'room again' });
  await stop(bot);
  const store = openSqliteStore({ path: join(dataDir, 'tagline.db') });
  const trip = (await store.openTripIn((await channelId(at)) ?? ''))?.id ?? '';
  const notes = new Set(
    (await store.events(trip)).map((e) => (e.data as { notes?: string }).notes),
  );
  await store.close();
  const lost = answered.filter((a) => !notes.has(a)).length;
  said(`faults.full_disk = ${answered.length} posts answered, ${refused} refused, lost = ${lost}`);
  if (lost > 0 || !again.startsWith('On the sheet')) throw new Error('a full disk broke a promise');
}

async function channelId(at: SpawnedStand): Promise<string | undefined> {
  const posted = at.entries.findLast(
    (e) => e.kind === 'interaction' && e.what.includes('overdue details'),
  );
  return posted?.kind === 'interaction' ? posted.channelId : undefined;
}

/** A database that can't be written: the bot does not start, and says why without a stack of calls. */
async function readOnly(at: SpawnedStand, dataDir: string): Promise<void> {
  chmodSync(folder, 0o755);
  for (const name of readdirSync(dataDir)) chmodSync(join(dataDir, name), 0o444);
  chmodSync(dataDir, 0o555);
  // Root may write anything, so it becomes nobody.
  const bot = startBot({ apiUrl: at.apiUrl, token: at.token, dataDir, nobody: true });
  const { code, said: why } = await bot.ended;
  chmodSync(dataDir, 0o755);
  said(`faults.read_only = ends with code ${code}: ${why.trim().split('\n')[0]}`);
  if (code === 0 || why.includes('    at ')) throw new Error(`not a plain refusal: ${why}`);
}
