/** The built bot under the system-call filter that the shipped unit sets. Left out where it can't be set. */
import { spawn, spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import { fileURLToPath } from 'node:url';
import { describe, expect, onTestFinished, test } from 'vitest';
import { spawnStand } from '../discord/spawned.ts';
import { compiledRoot } from '../helpers/compiled.ts';
import { canFilter, filterOf, under } from './filter.ts';

const unit = readFileSync(
  fileURLToPath(new URL('../../deploy/tagline.service', import.meta.url)),
  'utf8',
);

test('what must be named or limited is', () => {
  for (const line of [
    /^SystemCallErrorNumber=EPERM$/m,
    /^SystemCallFilter=@system-service @pkey$/m,
    /^MemoryMax=\d+[MG]$/m,
    /^TasksMax=\d+$/m,
    /^LimitCORE=0$/m,
    /^StartLimitIntervalSec=0$/m,
    /^Restart=always$/m,
  ]) {
    expect(unit).toMatch(line);
  }
});

describe.skipIf(!canFilter())('under the unit’s filter', () => {
  /** pkey_alloc(2) by its number; the same on x86-64 (330) and arm64 (289), from the kernel's tables. */
  const PKEY = { x64: 330, arm64: 289 }[process.arch as string] ?? 330;
  const allocate = ['python3', '-c', `import ctypes; ctypes.CDLL(None).syscall(${PKEY}, 0, 0)`];
  const run = ([command = '', ...args]: string[]) => spawnSync(command, args, { encoding: 'utf8' });

  test('V8’s memory protection keys may be asked for; without @pkey and an errno that was the end', () => {
    expect(run(under(filterOf(unit), allocate)).status).toBe(0);
    const plain = unit
      .replace('@system-service @pkey', '@system-service')
      .replace(/^SystemCallErrorNumber=.*$/m, '');
    const { status, signal } = run(under(filterOf(plain), allocate));
    expect([status, signal]).toEqual([null, 'SIGSYS']);
  });

  test('the bot starts, comes on Discord, and ends when it is told to', async () => {
    const root = await compiledRoot();
    const stand = await spawnStand(join(root, 'dist/tests/discord/process.js'), ['--quiet']);
    const folder = mkdtempSync(join(tmpdir(), 'tagline-filter-'));
    onTestFinished(async () => {
      await stand.close();
      rmSync(folder, { recursive: true, force: true });
    });
    const main = join(root, 'dist/src/main.js');
    const [command = '', ...args] = under(filterOf(unit), [process.execPath, main]);
    const bot = spawn(command, args, {
      stdio: ['ignore', 'ignore', 'pipe'],
      env: {
        PATH: process.env.PATH,
        TAGLINE_DATA: folder,
        DISCORD_TOKEN: stand.token,
        DISCORD_API_URL: stand.apiUrl,
        TAGLINE_PAGE_URL: 'http://127.0.0.1',
        TAGLINE_PAGE_PORT: '0',
      },
    });
    const said: string[] = [];
    const ended = new Promise<number | null>((resolve) => bot.once('exit', resolve));
    createInterface({ input: bot.stderr }).on('line', (line) => {
      said.push(line);
      if (line.includes('"on Discord"')) bot.kill('SIGTERM');
    });
    expect([await ended, said.filter((line) => /"level":[56]0/.test(line))]).toEqual([0, []]);
    expect(said.some((line) => line.includes('"on Discord"'))).toBe(true);
  });
});
