import { readFile } from 'node:fs/promises';
import { dirname } from 'node:path';
import { watchParts } from '../app/watch/parts.ts';
import { buildBot, buildCore } from '../bot.ts';
import { type Entry, LocalChannel } from '../chat/local/channel.ts';
import { localWays } from '../chat/local/deliver.ts';
import { play } from '../chat/local/play.ts';
import { jsonLine, scriptEntry } from '../chat/local/print.ts';
import { parseScript } from '../chat/local/script.ts';
import { ScriptClock } from '../chat/local/script-clock.ts';
import { Watch } from '../delivery/loop.ts';
import { KEEP_DAYS } from '../limits.ts';
import { textPictures } from '../page/picture/pictures.ts';
import { openSqliteStore } from '../store/sqlite/store.ts';
import { countedIds } from '../system/ids.ts';
import { createLog } from '../system/log.ts';
import { readingHere } from '../system/reading/here.ts';

export interface ScriptRun {
  file: string;
  logLevel: string;
  /** Every answer and notice, in order, with the zone of the script's times. */
  show(entry: Entry, zone: string): void;
}

/** Prints entries as a person reads them, 80 columns wide, or one JSON line each. */
export function printing(json: boolean, write: (text: string) => void): ScriptRun['show'] {
  return (entry, zone) =>
    write(json ? jsonLine(entry, zone) : scriptEntry(entry, zone, { width: 80 }));
}

/** The channel shows what would be mailed, and pins nothing. */
const LOCAL = {
  withoutMail: () => undefined,
  phones: true,
  deafSinceMs: () => undefined,
  board: undefined,
  pages: undefined,
  // Nothing leaves a rehearsal, and the same file gives the same output each time.
  secret: new Uint8Array(32),
  keepDays: KEEP_DAYS,
  reading: readingHere,
};

/**
 * Plays a script on its own clock, with a store of its own in memory: a rehearsal leaves nothing
 * behind, and the same file gives the same output each time.
 *
 * @throws ScriptError at a line that can't be read
 */
export async function runScript(run: ScriptRun): Promise<void> {
  const script = parseScript(await readFile(run.file, 'utf8'), run.file);
  const clock = new ScriptClock(script.steps[0]?.atMs ?? 0);
  const store = openSqliteStore({ path: ':memory:' });
  try {
    const ports = { store, clock, ids: countedIds(), log: createLog(run.logLevel) };
    const app = buildBot(buildCore(ports, textPictures), LOCAL);
    const channel = new LocalChannel(app, (entry) => run.show(entry, script.zone));
    const watch = new Watch(watchParts(app, { ways: localWays(channel), owner: 'script' }));
    await play({
      channel,
      script,
      clock,
      folder: dirname(run.file),
      nextDue: () => watch.nextAt(),
      onTick: () => watch.tick(),
    });
  } finally {
    await store.close();
  }
}
