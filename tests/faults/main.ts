/**
 * The real bot against a hostile world: `npm run faults -- [part[:size]…] [seed]`. The parts are `storm` (its size is
 * kills), `clock`, `disk`, `hanging` (parties) and `three` (kills); all of them unless named. A short form:
 * `npm run faults -- storm:10`. A part takes the minutes its promises take to fall due; a kill some seconds.
 *
 * SIGKILL leaves the page cache whole, so this shows nothing about power loss; what guards that is the
 * store's own check that every commit waits for the disk.
 */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { systemClock } from '../../src/system/clock.ts';
import { type SpawnedStand, spawnStand } from '../discord/spawned.ts';
import { clockJumps } from './clock.ts';
import { fullDisk, readOnly } from './disk.ts';
import { hangingMail } from './hanging.ts';
import { mailServer } from './mail.ts';
import { POISONED } from './poison.ts';
import { proxyTo } from './proxy.ts';
import { storm } from './storm.ts';
import { THREE_CHANNELS, three } from './three.ts';
import { accounts, GUILD, POSTS } from './trips.ts';

const isSeed = (word: string) => /^\d+$/u.test(word);
const seed = Number(process.argv.slice(2).find(isSeed) ?? 20310612);
const wanted = process.argv.slice(2).filter((word) => !isSeed(word));
const said = (text: string) => void process.stdout.write(`${text}\n`);

/** How much of a part is asked for; undefined when it isn't. */
function part(name: string, whole: number): number | undefined {
  if (wanted.length === 0) return whole;
  const found = wanted.map((w) => w.split(':')).find(([word]) => word === name);
  return found === undefined ? undefined : Number(found[1] ?? whole);
}

const folder = mkdtempSync(join(tmpdir(), 'tagline-faults-'));
const stand = await spawnStand(join(import.meta.dirname, '../discord/process.js'));
const mail = await mailServer();
const direct = new URL(stand.apiUrl).origin;
const proxy = await proxyTo(direct);
/** Ids of the channels by name: what is said in one need not name its trip. */
const channels = new Map<string, string>();
const parts = { stand, mail, proxy, folder, said, channels, clock: systemClock() };
try {
  said(`faults: seed ${seed}`);
  const pal = await people(stand);
  // Only the storm goes through the proxy; the others are measured without it.
  const kills = part('storm', 500);
  if (kills !== undefined) {
    await stand.order({ do: 'origin', origin: proxy.origin });
    await storm(parts, kills, seed);
    await stand.order({ do: 'origin', origin: direct });
  }
  if (part('clock', 1) !== undefined) await clockJumps(parts);
  if (part('disk', 1) !== undefined) {
    await fullDisk(parts);
    await readOnly(parts);
  }
  const others = part('hanging', 1000);
  if (others !== undefined) await hangingMail(parts, others, pal);
  const amongThree = part('three', 12);
  if (amongThree !== undefined) await three(parts, amongThree, seed);
} finally {
  await stand.close();
  await proxy.close();
  await mail.close();
  rmSync(folder, { recursive: true, force: true });
}

/** Resolves to Pål's account. */
async function people(at: SpawnedStand): Promise<string> {
  const walls = Array.from({ length: 8 }, (_, i) => `wall-${i}`);
  const names = [POSTS, POISONED, 'full', 'clock', ...walls, ...THREE_CHANNELS];
  const [first, ...others] = names.flatMap(accounts) as [string, ...string[]];
  for (const name of [first, ...others]) await at.order({ do: 'user', name });
  const pal = String(await at.order({ do: 'user', name: 'Pål' }));
  await at.order({ do: 'guild', name: GUILD, members: [first, ...others, 'Pål'] });
  for (const name of names)
    channels.set(name, String(await at.order({ do: 'channel', guild: GUILD, name })));
  return pal;
}
