#!/usr/bin/env node
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { readArguments, USAGE } from './run/arguments.ts';
import { makeDataFolder } from './run/data-folder.ts';
import { failureText } from './run/failure.ts';
import { printing, runScript } from './run/script.ts';
import { runTerminal } from './run/terminal.ts';
import { readSettings, type Settings } from './settings.ts';
import { openSqliteStore } from './store/sqlite/store.ts';
import { systemClock } from './system/clock.ts';
import { randomIds } from './system/ids.ts';
import { createLog } from './system/log.ts';

/** The package's own folder, seen from `dist/src/main.js`. */
const PACKAGE = new URL('../../', import.meta.url);
const DEMO = fileURLToPath(new URL('deploy/demo/harrow.txt', PACKAGE));

async function main(): Promise<void> {
  const args = readArguments(process.argv.slice(2));
  const write = (text: string) => void process.stdout.write(text);
  if (args.help) return write(USAGE);
  if (args.version) return write(`${version()}\n`);
  const settings = readSettings(process.env);
  const file = args.script ?? (args.demo ? DEMO : undefined);
  if (file !== undefined) {
    return runScript({ file, logLevel: quiet(settings), show: printing(args.json, write) });
  }
  if (args.backup !== undefined) return backUp(settings, args.backup, write);
  await serve(settings);
}

/** At a terminal only what needs somebody's eye is logged: the rest would stand between the answers. */
function quiet({ LOG_LEVEL }: Settings): string {
  return LOG_LEVEL === 'info' ? 'warn' : LOG_LEVEL;
}

async function backUp(settings: Settings, to: string, write: (text: string) => void) {
  const store = openSqliteStore({ path: databaseOf(settings) });
  try {
    await store.backup(to);
    write(`Copied to ${to}.\n`);
  } finally {
    await store.close();
  }
}

function version(): string {
  const text = readFileSync(new URL('package.json', PACKAGE), 'utf8');
  return (JSON.parse(text) as { version: string }).version;
}

function databaseOf(settings: Settings): string {
  return join(settings.TAGLINE_DATA, 'tagline.db');
}

async function serve(settings: Settings): Promise<void> {
  const token = settings.DISCORD_TOKEN;
  const log = createLog(token === undefined ? quiet(settings) : settings.LOG_LEVEL);
  makeDataFolder(settings.TAGLINE_DATA);
  log.info({ version: version(), node: process.version }, 'starting');
  const store = openSqliteStore({ path: databaseOf(settings), log });
  const ports = { store, clock: systemClock(), ids: randomIds(), log };
  try {
    if (token === undefined) return await runTerminal(ports, settings);
    // Loaded only when needed: it takes a third of the time to the local channel's first answer.
    const { runDiscord } = await import('./run/discord.ts');
    await runDiscord(ports, settings, token);
  } finally {
    await store.close();
  }
}

main().catch((error: unknown) => {
  process.stderr.write(`${failureText(error)}\n`);
  process.exitCode = 1;
});
