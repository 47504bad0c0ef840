/**
 * Three of the real bot on one PostgreSQL database, killed with SIGKILL one after another, and the server with
 * them now and then, while posts and deadlines flow: `node .bench/tests/faults/three.js [kills] [seed]`. Afterwards
 * every answered post is in the record, and every notice that was due has been delivered. Each time the one that
 * answered is killed, it is measured how long it takes until another answers.
 */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import fc from 'fast-check';
import { openPostgresStore } from '../../src/store/postgres/open.ts';
import { systemClock } from '../../src/system/clock.ts';
import { spawnStand } from '../discord/spawned.ts';
import { postgresPrograms, startServer } from '../helpers/postgres.ts';
import { type BotProcess, kill, startBot, stop } from './bot.ts';
import { checkRecord } from './check.ts';
import { GUILD, openPosts, openSilent, POSTS, SilentTrip, say } from './trips.ts';

/** What is promised: another answers, and what was on its way is taken up, within this time. */
const TAKEOVER_MS = 30_000;
const kills = Number(process.argv[2] ?? 12);
const seed = Number(process.argv[3] ?? 20310612);
const clock = systemClock();
const said = (text: string) => void process.stdout.write(`${text}\n`);

const programs = postgresPrograms();
if (programs === undefined) {
  said('faults.three: no PostgreSQL server is installed here; left out');
  process.exit();
}
const folder = mkdtempSync(join(tmpdir(), 'tagline-three-'));
const server = await startServer(programs);
const stand = await spawnStand(join(import.meta.dirname, '../discord/process.js'));
const databaseUrl = await server.database();
const bots: (BotProcess | undefined)[] = [];
const start = (i: number) => {
  const { apiUrl, token } = stand;
  bots[i] = startBot({ apiUrl, token, databaseUrl, dataDir: join(folder, `data-${i}`) });
};

const acked: string[] = [];
let words = 0;
/** What went to a process that was killed is never answered. */
const GIVEN_UP_MS = 3_000;

/** One post; true when it was answered. */
async function post(): Promise<boolean> {
  const text = `word ${++words}`;
  const answer = await Promise.race([
    say(stand, 'Mara', POSTS, '/checkin ok', { words: text }).catch(() => ''),
    clock.sleep(GIVEN_UP_MS).then(() => ''),
  ]);
  if (answer.startsWith('Well at')) acked.push(text);
  return answer.startsWith('Well at');
}

try {
  said(`faults.three: ${kills} kills, seed ${seed}`);
  await stand.order({ do: 'user', name: 'Mara' });
  await stand.order({ do: 'user', name: 'Dana' });
  await stand.order({ do: 'guild', name: GUILD, members: ['Mara', 'Dana'] });
  const names = Array.from({ length: 4 }, (_, i) => `wall-${i}`);
  for (const name of [POSTS, ...names]) await stand.order({ do: 'channel', guild: GUILD, name });
  const ready = stand.order({ do: 'next-ready' });
  for (const i of [0, 1, 2]) start(i);
  await ready;
  await stand.order({ do: 'registered' });
  await openPosts(stand);
  const trips = names.map((name, i) => new SilentTrip(stand, name, i % 2 === 1));
  for (const { channel } of trips) await openSilent(stand, channel);
  const plan = fc.sample(fc.tuple(fc.nat(2), fc.nat(3_000), fc.nat(3)), { numRuns: kills, seed });
  let slowestMs = 0;
  for (const [n, [victim, afterMs, what]] of plan.entries()) {
    for (const trip of trips) void trip.next().catch(() => undefined);
    for (const untilMs = clock.monoMs() + afterMs; clock.monoMs() < untilMs; ) await post();
    if (what === 0) {
      await server.kill();
      await server.start();
    } else {
      await kill(bots[victim] as BotProcess);
    }
    const killedMs = clock.monoMs();
    while (!(await post())) await clock.sleep(100);
    slowestMs = Math.max(slowestMs, clock.monoMs() - killedMs);
    for (const trip of trips) trip.forget();
    if (what !== 0) start(victim);
    said(`  ${n + 1}: ${what === 0 ? 'server' : `bot ${victim}`}, ${acked.length} answered`);
  }
  // What was planned last falls due within a minute, and its alarm goes up over two.
  await clock.sleep(4 * 60_000);
  for (const bot of bots) await stop(bot as BotProcess);
  const store = await openPostgresStore({ url: databaseUrl });
  const totals = await checkRecord({ stand, store, nowMs: clock.wallMs(), acked, trips });
  await store.close();
  const { posts, lost, notices, undelivered, twice, folded, planned, unasked } = totals;
  for (const line of totals.why.slice(0, 20)) said(`  ${line}`);
  said(`faults.three.posts_answered = ${posts}, lost = ${lost}`);
  said(`faults.three.times_confirmed = ${planned}, never_asked_about = ${unasked}`);
  said(`faults.three.notices = ${notices}, undelivered = ${undelivered}`);
  said(`faults.three.shown_twice = ${twice} (${folded} repeats folded by their nonce)`);
  said(`faults.three.takeover = ${(slowestMs / 1000).toFixed(1)} s at most (held to 30)`);
  if (lost + undelivered + twice + unasked > 0) throw new Error('a promise was broken');
  if (slowestMs > TAKEOVER_MS) throw new Error('nobody took over in time');
} finally {
  for (const bot of bots) bot?.child.kill('SIGKILL');
  await stand.close();
  await server.remove();
  rmSync(folder, { recursive: true, force: true });
}
