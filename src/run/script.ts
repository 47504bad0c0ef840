import { readFile } from 'node:fs/promises';
import { dirname } from 'node:path';
import { watchParts } from '../app/watch/parts.ts';
import { buildBot } from '../bot.ts';
import { LocalChannel } from '../chat/local/channel.ts';
import { localWays } from '../chat/local/deliver.ts';
import { play } from '../chat/local/play.ts';
import { jsonLine, scriptEntry } from '../chat/local/print.ts';
import { parseScript } from '../chat/local/script.ts';
import { ScriptClock } from '../chat/local/script-clock.ts';
import { openSqliteStore } from '../store/sqlite/store.ts';
import { countedIds } from '../system/ids.ts';
import { createLog } from '../system/log.ts';
import { Watch } from '../watch/loop.ts';

export interface ScriptRun {
  file: string;
  json: boolean;
  logLevel: string;
  write(text: string): void;
}

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
    const app = buildBot({ store, clock, ids: countedIds(), log: createLog(run.logLevel) });
    const channel = new LocalChannel(app, (entry) => {
      run.write(
        run.json ? jsonLine(entry, script.zone) : scriptEntry(entry, script.zone, { width: 80 }),
      );
    });
    const watch = new Watch(watchParts(app, { ways: localWays(() => channel), owner: 'script' }));
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
