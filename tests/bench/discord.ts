/**
 * The real bot on Discord, through the loopback stand-in, against a bare discord.js bot that echoes;
 * and how long a newcomer waits for the first answer. On real SQLite files.
 */
import { spawn } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { performance } from 'node:perf_hooks';
import { fileURLToPath } from 'node:url';
import { openSqliteStore } from '../../src/store/sqlite/store.ts';
import { systemClock } from '../../src/system/clock.ts';
import { randomIds } from '../../src/system/ids.ts';
import { createLog } from '../../src/system/log.ts';
import { bareBot, startDiscord } from '../helpers/bot.ts';
import { ASKER, type Asked, commandsPerSecond, type StartBot, startEchoBot } from './echo-bot.ts';
import type { Figure } from './store.ts';

const COMMANDS = 400;
const AT_ONCE = 10;
const TRIPS = 50;
const CHANNELS = Array.from({ length: TRIPS }, (_, i) => `wall-${i}`);

export async function* benchDiscord(): AsyncGenerator<Figure> {
  const folder = mkdtempSync(join(tmpdir(), 'tagline-bench-'));
  try {
    const echo = await commandsPerSecond(startEchoBot, COMMANDS, { ...echoAsked, atOnce: AT_ONCE });
    const bare = `${Math.round(echo)}/s by a bare discord.js bot that echoes`;
    const read = await commandsPerSecond(realBot(join(folder, 'read.db')), COMMANDS, {
      ...asked('/lead next', [{}]),
    });
    yield { name: 'lead_next_per_echo', value: round(read / echo), unit: '×', against: bare };
    yield { name: 'lead_next', value: Math.round(read), unit: 'commands/s', against: bare };
    const note = Array.from({ length: 40 }, (_, i) => ({ number: 1, note: `anchor ${i}` }));
    const write = await commandsPerSecond(realBot(join(folder, 'write.db')), COMMANDS, {
      ...asked('/topo edit', note),
    });
    yield { name: 'topo_edit_per_echo', value: round(write / echo), unit: '×', against: bare };
    yield { name: 'topo_edit', value: Math.round(write), unit: 'commands/s', against: bare };
    const many = await commandsPerSecond(realBot(join(folder, 'many.db')), COMMANDS, {
      ...asked('/topo edit', note, CHANNELS),
    });
    const name = `topo_edit_on_${TRIPS}_trips`;
    yield { name: `${name}_per_echo`, value: round(many / echo), unit: '×', against: bare };
    yield { name, value: Math.round(many), unit: 'commands/s', against: bare };
    yield await firstAnswer(folder);
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

const echoAsked: Asked = { path: '/echo', options: [{ text: 'Pitch 5 done at 14:22.' }] };

/** A trip with one pitch and one climber, then the command over and over. */
function asked(
  path: string,
  options: Asked['options'],
  channels: readonly string[] = [ASKER.channel],
): Asked {
  return {
    path,
    options,
    atOnce: AT_ONCE,
    channels,
    before: channels.flatMap((channel) => {
      const slash = (command: string, values: Record<string, string | number>) =>
        ({ do: 'slash', ...ASKER, channel, path: command, options: values }) as const;
      return [
        slash('/trip open', { name: `Harrow Tower ${channel}`, zone: 'Europe/Oslo' }),
        slash('/topo edit', { number: 1, length: '38', free: '6a' }),
        slash('/roster add', { name: 'Mara', free: '6c' }),
      ];
    }),
  };
}

function realBot(path: string): StartBot {
  return async ({ apiUrl, token }) => {
    const store = openSqliteStore({ path });
    const log = createLog('error');
    const app = bareBot({ store, clock: systemClock(), ids: randomIds(), log });
    const chat = await startDiscord({ app, token, apiUrl });
    return {
      async close() {
        await chat.close();
        await store.close();
      },
    };
  };
}

/** From the process's start to the first answer in the local channel, built already. */
async function firstAnswer(folder: string): Promise<Figure> {
  // As `npm run build` made it; this file runs from `.bench`.
  const main = fileURLToPath(new URL('../../../dist/src/main.js', import.meta.url));
  const startMs = performance.now();
  const child = spawn(process.execPath, [main], {
    env: { ...process.env, DISCORD_TOKEN: '', TAGLINE_DATA: join(folder, 'data') },
    stdio: ['pipe', 'pipe', 'inherit'],
  });
  const answered = new Promise<number>((resolve, reject) => {
    let seen = '';
    child.stdout.on('data', (chunk: Buffer) => {
      seen += chunk.toString('utf8');
      if (seen.includes('No trip is open here')) resolve(performance.now() - startMs);
    });
    child.once('error', reject);
    child.once('exit', () => reject(new Error('ended without an answer')));
  });
  child.stdin.write('/help\n');
  const took = await answered;
  child.stdin.end('exit\n');
  return { name: 'first_answer', value: Math.round(took), unit: 'ms' };
}

function round(value: number): number {
  return Math.round(value * 100) / 100;
}
