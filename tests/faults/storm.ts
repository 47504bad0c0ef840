/**
 * Kills at random moments, the start included, while posts and deadlines flow and everything around the bot
 * misbehaves. Afterwards every answered post is in the record, every notice that was due has been delivered,
 * none came after the end of its trip, and no mail came twice but for a kill in between.
 */
import { join } from 'node:path';
import { performance } from 'node:perf_hooks';
import fc from 'fast-check';
import { sqlite } from '../../src/store/sqlite/driver.ts';
import { openSqliteStore } from '../../src/store/sqlite/store.ts';
import type { Clock } from '../../src/time/clock.ts';
import { type BotProcess, kill, startBot, stop } from './bot.ts';
import { assertSound, checkRecord, type Kill } from './check.ts';
import * as around from './disturb.ts';
import { checkPoisoned, POISONED, poisonTrip } from './poison.ts';
import { brokenPromises, reportTotals } from './report.ts';
import { openPosts, openSilent, POSTS, SilentTrip, say } from './trips.ts';
import { up } from './up.ts';

export interface StormParts extends around.Surroundings {
  clock: Clock;
  folder: string;
  /** Ids by name. */
  channels: ReadonlyMap<string, string>;
  said(text: string): void;
}

const TRIPS = 8;
/** A message that was on its way when the trip ended may land so much later. */
const GRACE_MS = 5_000;

interface Cycle {
  /** How long after it came up, or was started, the kill falls. */
  afterMs: number;
  posts: number;
  /** It is killed while it starts. */
  early: boolean;
  disturbance: around.Disturbance;
}

const cycles = (kills: number, seed: number): Cycle[] =>
  fc.sample(
    fc.record({
      afterMs: fc.integer({ min: 0, max: 2500 }),
      posts: fc.integer({ min: 1, max: 6 }),
      early: fc.nat(2).map((n) => n === 0),
      disturbance: around.disturbances,
    }),
    { numRuns: kills, seed },
  );

export async function storm(parts: StormParts, kills: number, seed: number): Promise<void> {
  const { stand, proxy, mail, clock, said } = parts;
  const startMs = performance.now();
  const dataDir = join(parts.folder, 'data');
  const settings = {
    ...{ apiUrl: `${proxy.origin}/api`, token: stand.token, dataDir, mailPort: mail.port },
  };
  const begin = () => startBot(settings);
  const trips = Array.from({ length: TRIPS }, (_, n) => new SilentTrip(parts, `wall-${n}`, n));
  const run: Run = {
    parts,
    dataDir,
    begin,
    trips,
    acked: [],
    killed: [],
    met: new Map(),
  };
  let bot = await up(stand, begin(), true);
  await openPosts(stand);
  for (const { channel, byMail } of trips) await openSilent(parts, channel, byMail);
  await openSilent(parts, POISONED);
  await end(run, bot);
  for (const [i, cycle] of cycles(kills, seed).entries()) {
    if (i === Math.floor(kills / 2)) poisonTrip(dataDir, POISONED);
    await oneCycle(run, cycle, i);
    if ((i + 1) % 50 === 0) said(`  ${i + 1} kills, ${run.acked.length} posts answered`);
  }
  around.calm(parts);
  await stand.order({ do: 'no-faults' });
  bot = await up(stand, begin(), false);
  await landed(run);
  await Promise.all(trips.map((trip) => trip.next().then(() => trip.down())));
  // A time of a trip that has ended would fall due in a minute, and go up over two more.
  await clock.sleep(4 * 60_000);
  await stop(bot);
  const path = join(dataDir, 'tagline.db');
  assertSound(path);
  const store = openSqliteStore({ path });
  const totals = await checkRecord({
    ...{ stand, mail, store, acked: run.acked, trips, nowMs: clock.wallMs() },
    ...{ kills: run.killed, aside: POISONED, graceMs: GRACE_MS },
  });
  await store.close();
  const seconds = Math.round((performance.now() - startMs) / 1000);
  said(`faults.kills = ${run.killed.length - 1} in ${seconds} s`);
  for (const [name, times] of [...run.met].sort()) said(`  ${times} × ${name}`);
  reportTotals('faults', totals, said);
  if (brokenPromises(totals) > 0) throw new Error('a promise was broken');
  if (totals.posts < kills / 8 || totals.planned < TRIPS)
    throw new Error('too little happened to prove anything');
  checkPoisoned(parts, said);
}

interface Run {
  parts: StormParts;
  dataDir: string;
  begin(): BotProcess;
  trips: SilentTrip[];
  /** Words of posts that were answered. */
  acked: string[];
  killed: Kill[];
  /** How often each disturbance was tried. */
  met: Map<string, number>;
}

async function oneCycle(run: Run, cycle: Cycle, i: number): Promise<void> {
  const { parts, trips, met } = run;
  const { disturbance, afterMs, early } = cycle;
  const name = around.nameOf(disturbance);
  met.set(name, (met.get(name) ?? 0) + 1);
  around.beforeStart(parts, disturbance);
  const starting = run.begin();
  if (early || !around.comesUp(disturbance)) {
    // Long enough for the watch to be up, or not at all.
    await parts.clock.sleep(early ? afterMs : 1_500 + afterMs);
    return end(run, starting);
  }
  const bot = await up(parts.stand, starting, false);
  const open = post(run, i, cycle.posts);
  for (const trip of trips) void trip.next().catch(() => undefined);
  await parts.clock.sleep(afterMs / 2);
  await around.whileUp(parts, disturbance, bot);
  await parts.clock.sleep(afterMs / 2);
  // Half of those that were stopped go on before they are killed.
  if (disturbance.do === 'freeze' && i % 2 === 0) {
    bot.child.kill('SIGCONT');
    await parts.clock.sleep(300);
  }
  await end(run, bot);
  void open;
}

/** The kill; and the next start connects at once, as the pace of connecting has a test of its own. */
async function end({ parts, killed, trips, dataDir }: Run, bot: BotProcess): Promise<void> {
  await kill(bot);
  killed.push({ wallMs: Date.now(), monoMs: performance.now() });
  for (const trip of trips) trip.forget();
  around.calm(parts);
  const db = new (sqlite())(join(dataDir, 'tagline.db'));
  db.prepare(`DELETE FROM fact WHERE name = 'chat.connecting'`).run();
  db.close();
}

/** Posts words one after the other; those answered are kept, and only those. */
async function post({ parts, acked }: Run, cycle: number, count: number): Promise<void> {
  for (let n = 0; n < count; n++) {
    const words = `word ${cycle}-${n}`;
    const text = await say(parts.stand, 'Mara', POSTS, '/checkin ok', { words }).catch(() => '');
    if (text.startsWith('Well at')) acked.push(words);
  }
}

/** Until everything that was planned has been told. */
async function landed({ parts, trips }: Run): Promise<void> {
  const untilMs = performance.now() + 10 * 60_000;
  while (!trips.every((trip) => trip.toldAll())) {
    if (performance.now() > untilMs) throw new Error('a time that was confirmed is told to nobody');
    await parts.clock.sleep(1_000);
  }
}
