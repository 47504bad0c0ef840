/**
 * Three of the real bot on one PostgreSQL database, killed with SIGKILL one after another, and the server with
 * them now and then, while posts and deadlines flow. Afterwards every answered post is in the record, and every
 * notice that was due has been delivered. Each time one is killed, it is measured how long it takes until a post
 * is answered again.
 */
import { join } from 'node:path';
import { performance } from 'node:perf_hooks';
import fc from 'fast-check';
import { openPostgresStore } from '../../src/store/postgres/open.ts';
import { postgresPrograms, type Server, startServer } from '../helpers/postgres.ts';
import { type BotProcess, kill, startBot, stop } from './bot.ts';
import { checkRecord, type Kill } from './check.ts';
import { brokenPromises, reportTotals } from './report.ts';
import type { StormParts } from './storm.ts';
import { openPosts, openSilent, SilentTrip, say } from './trips.ts';

/** What is promised: another answers, and what was on its way is taken up, within this time. */
const TAKEOVER_MS = 30_000;
/** What went to a process that was killed is never answered. */
const GIVEN_UP_MS = 3_000;
const GRACE_MS = 5_000;
/** One person may say sixty times a minute that they are well. */
const APART_MS = 1_100;
const CHANNEL = 'three-posts';
const WALLS = ['three-0', 'three-1', 'three-2', 'three-3'] as const;
/** Channels that have to be there. */
export const THREE_CHANNELS = [CHANNEL, ...WALLS];

export async function three(parts: StormParts, kills: number, seed: number): Promise<void> {
  const programs = postgresPrograms();
  if (programs === undefined) {
    parts.said('faults.three: no PostgreSQL server is installed here; left out');
    return;
  }
  const server = await startServer(programs);
  const bots: (BotProcess | undefined)[] = [];
  try {
    await killOneAfterAnother({ parts, server, bots }, kills, seed);
  } finally {
    for (const bot of bots) bot?.child.kill('SIGKILL');
    await server.remove();
  }
}

interface Machines {
  parts: StormParts;
  server: Server;
  bots: (BotProcess | undefined)[];
}

async function killOneAfterAnother(
  { parts, server, bots }: Machines,
  kills: number,
  seed: number,
): Promise<void> {
  const { stand, mail, clock, said, folder } = parts;
  const databaseUrl = await server.database();
  const start = (i: number) => {
    const { apiUrl, token } = stand;
    const dataDir = join(folder, `three-${i}`);
    bots[i] = startBot({ apiUrl, token, databaseUrl, dataDir, mailPort: mail.port });
  };
  const acked: string[] = [];
  let words = 0;
  /** One post; true when it was answered. */
  const post = async (): Promise<boolean> => {
    const text = `word ${++words}`;
    const answer = await Promise.race([
      say(stand, 'Mara', CHANNEL, '/checkin ok', { words: text }).catch(() => ''),
      clock.sleep(GIVEN_UP_MS).then(() => ''),
    ]);
    if (answer.startsWith('Well at')) acked.push(text);
    return answer.startsWith('Well at');
  };
  const ready = stand.order({ do: 'next-ready' });
  for (const i of [0, 1, 2]) start(i);
  await ready;
  await stand.order({ do: 'registered' });
  await openPosts(stand, CHANNEL);
  const trips = WALLS.map((name, n) => new SilentTrip(parts, name, n));
  for (const { channel, byMail } of trips) await openSilent(parts, channel, byMail);
  const killed: Kill[] = [];
  let slowestMs = 0;
  const plan = fc.sample(fc.tuple(fc.nat(2), fc.nat(3_000), fc.nat(3)), { numRuns: kills, seed });
  for (const [n, [victim, afterMs, what]] of plan.entries()) {
    for (const trip of trips) void trip.next().catch(() => undefined);
    for (const untilMs = clock.monoMs() + afterMs; clock.monoMs() < untilMs; ) {
      await post();
      await clock.sleep(APART_MS);
    }
    if (what === 0) {
      await server.kill();
      await server.start();
    } else {
      await kill(bots[victim] as BotProcess);
    }
    killed.push({ wallMs: Date.now(), monoMs: performance.now() });
    const killedMs = clock.monoMs();
    while (!(await post())) await clock.sleep(100);
    slowestMs = Math.max(slowestMs, clock.monoMs() - killedMs);
    for (const trip of trips) trip.forget();
    if (what !== 0) start(victim);
    said(`  ${n + 1}: ${what === 0 ? 'server' : `bot ${victim}`}, ${acked.length} answered`);
  }
  // What was planned last falls due within a minute, and its alarm goes up over two.
  await clock.sleep(4 * 60_000);
  await Promise.all(trips.map((trip) => trip.down()));
  await clock.sleep(60_000);
  for (const bot of bots) await stop(bot as BotProcess);
  const store = await openPostgresStore({ url: databaseUrl });
  const totals = await checkRecord({
    ...{ stand, mail, store, nowMs: clock.wallMs(), acked, trips },
    ...{ kills: killed, graceMs: GRACE_MS },
  });
  await store.close();
  reportTotals('faults.three', totals, said);
  said(`faults.three.takeover = ${(slowestMs / 1000).toFixed(1)} s at most (held to 30)`);
  if (brokenPromises(totals) > 0) throw new Error('a promise was broken');
  if (slowestMs > TAKEOVER_MS) throw new Error('nobody took over in time');
}
