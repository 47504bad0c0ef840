/** A disk without room, on a small file system in memory or under a limit; and one that can't be written. */
import { execFileSync } from 'node:child_process';
import { chmodSync, closeSync, mkdirSync, openSync, readdirSync, rmSync, writeSync } from 'node:fs';
import { join } from 'node:path';
import { openSqliteStore } from '../../src/store/sqlite/store.ts';
import type { SpawnedStand } from '../discord/spawned.ts';
import { type BotSettings, kill, startBot, stop } from './bot.ts';
import type { StormParts } from './storm.ts';
import { openSilent, say } from './trips.ts';
import { up } from './up.ts';

const CHANNEL = 'full';

interface SmallDisk {
  dataDir: string;
  settings: Pick<BotSettings, 'fileBlocks'>;
  /** Leaves no room; where that isn't possible the posts have to. */
  fill(): void;
  /** Room again, while the bot runs; undefined where only another start brings it. */
  makeRoom: (() => void) | undefined;
  close(): void;
}

/** A tmpfs of some megabytes where we may mount one; else a limit on the size of files. */
function smallDisk(folder: string): SmallDisk {
  mkdirSync(folder, { recursive: true });
  const mount = (...args: string[]) => execFileSync('mount', args, { stdio: 'ignore' });
  const dataDir = join(folder, 'data');
  try {
    mount('-t', 'tmpfs', '-o', 'size=4m', 'tmpfs', folder);
  } catch {
    // Little more than an empty database with its log.
    return { dataDir, settings: { fileBlocks: 260 }, fill() {}, makeRoom: undefined, close() {} };
  }
  const ballast = join(folder, 'ballast');
  return {
    dataDir,
    settings: {},
    fill: () => fillWith(ballast),
    makeRoom: () => rmSync(ballast),
    close: () => void execFileSync('umount', [folder], { stdio: 'ignore' }),
  };
}

/** Writes until there is no room for another page. */
function fillWith(path: string): void {
  const file = openSync(path, 'w');
  try {
    for (;;) writeSync(file, Buffer.alloc(4096));
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code !== 'ENOSPC') throw error;
  } finally {
    closeSync(file);
  }
}

/**
 * Posts are refused and none of those answered is lost; what falls due is told all the same, once, and says
 * that it could not be written; with room again it goes on.
 */
export async function fullDisk(parts: StormParts): Promise<void> {
  const { stand, folder, said, clock } = parts;
  const disk = smallDisk(join(folder, 'full'));
  try {
    const settings = { apiUrl: stand.apiUrl, token: stand.token, dataDir: disk.dataDir };
    let bot = await up(stand, startBot({ ...settings, ...disk.settings }), true);
    await openSilent(parts, CHANNEL);
    await say(stand, 'Mara', CHANNEL, '/checkin plan', { down: '+2m' });
    const dueMs = Date.now() + 2 * 60_000;
    const { answered, refused, why } = await fill(stand, disk);
    said(`  refused with: ${why.split('\n')[0]}`);
    await clock.sleep(dueMs + 10_000 - Date.now());
    const full = alarms(parts);
    if (disk.makeRoom === undefined) {
      await kill(bot);
      bot = await up(stand, startBot(settings), false);
    } else disk.makeRoom();
    const again = await note(stand, 'room again');
    await clock.sleep(20_000);
    await stop(bot);
    const lost = await lostNotes(stand, disk.dataDir, answered);
    const later = alarms(parts).length - full.length;
    const where = disk.makeRoom === undefined ? 'a limit on files' : 'a tmpfs of 4 MB';
    said(
      `faults.full_disk = on ${where}: ${answered.length} posts answered, ${refused} refused, lost = ${lost}`,
    );
    said(
      `faults.full_disk_alarm = told ${full.length} ×, marked ${full.filter(isMarked).length} ×; told again with room: ${later} ×`,
    );
    if (lost > 0 || !again.includes('On the sheet') || refused === 0)
      throw new Error(`a full disk broke a promise: ${again}`);
    // Where the file has pages to use again it could be written after all, and is not marked. A restart before
    // it could be written tells it once more (OPERATING.md).
    if (full.length !== 1 || later > (disk.makeRoom ? 0 : 1))
      throw new Error('a full disk kept an alarm, or told it too often');
  } finally {
    disk.close();
  }
}

const isMarked = (text: string) => text.includes('can write nothing down');

/** First askings about the time, in the channel. */
function alarms({ stand, channels }: StormParts): string[] {
  return stand.entries.flatMap((e) =>
    e.kind === 'message' &&
    /Nothing was heard\./u.test(e.content) &&
    e.channelId === channels.get(CHANNEL)
      ? [e.content]
      : [],
  );
}

const note = (stand: SpawnedStand, notes: string) =>
  say(stand, 'Mara', CHANNEL, '/overdue details', { notes });

async function fill(
  stand: SpawnedStand,
  disk: SmallDisk,
): Promise<{ answered: string[]; refused: number; why: string }> {
  const answered: string[] = [];
  let refused = 0;
  let why = '';
  // Fewer than a person may type in a minute, so that what is refused is refused by the disk.
  for (let i = 0; i < 45 && refused < 5; i++) {
    if (i === 10) disk.fill();
    const about = `${i} ${'x'.repeat(280)}`;
    const text = await note(stand, about);
    if (text.includes('On the sheet')) answered.push(about);
    else {
      refused += 1;
      why = text;
    }
  }
  return { answered, refused, why };
}

async function lostNotes(
  stand: SpawnedStand,
  dataDir: string,
  answered: readonly string[],
): Promise<number> {
  const posted = stand.entries.findLast(
    (e) => e.kind === 'interaction' && e.what.includes('overdue details'),
  );
  const channel = posted?.kind === 'interaction' ? posted.channelId : '';
  const store = openSqliteStore({ path: join(dataDir, 'tagline.db') });
  const trip = (await store.openTripIn(channel))?.id ?? '';
  const notes = new Set(
    (await store.events(trip)).map((e) => (e.data as { notes?: string }).notes),
  );
  await store.close();
  return answered.filter((a) => !notes.has(a)).length;
}

/** A database that can't be written: the bot does not start, and says why without a stack of calls. */
export async function readOnly({ stand, folder, said }: StormParts): Promise<void> {
  const dataDir = join(folder, 'read-only');
  const settings = { apiUrl: stand.apiUrl, token: stand.token, dataDir };
  await stop(await up(stand, startBot(settings), false));
  chmodSync(folder, 0o755);
  for (const name of readdirSync(dataDir)) chmodSync(join(dataDir, name), 0o444);
  chmodSync(dataDir, 0o555);
  // Root may write anything, so it becomes nobody.
  const { code, said: why } = await startBot({ ...settings, nobody: true }).ended;
  chmodSync(dataDir, 0o755);
  said(`faults.read_only = ends with code ${code}: ${why.trim().split('\n')[0]}`);
  if (code === 0 || why.includes('    at ')) throw new Error(`not a plain refusal: ${why}`);
}
