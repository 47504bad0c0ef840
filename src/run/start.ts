import { fileURLToPath } from 'node:url';
import type { Ports } from '../bot.ts';
import type { Settings } from '../settings.ts';
import { holdingStore } from '../store/holding.ts';
import { systemClock } from '../system/clock.ts';
import { randomIds } from '../system/ids.ts';
import { createLog } from '../system/log.ts';
import type { Arguments } from './arguments.ts';
import { makeDataFolder } from './data-folder.ts';
import { move, openStore } from './database.ts';
import { listTrips, purgeTrip } from './operator.ts';
import { sharePageSecret } from './page-secret.ts';
import { printing, runScript } from './script.ts';
import { runTerminal } from './terminal.ts';

export interface Start {
  args: Arguments;
  settings: Settings;
  version: string;
  /** The package's own folder. */
  folder: URL;
  write(text: string): void;
}

/** Does what the command line asks for: plays a script, copies or moves the database, or serves until it is stopped. */
export async function start(asked: Start): Promise<void> {
  const { args, settings, write } = asked;
  const demo = fileURLToPath(new URL('deploy/demo/harrow.txt', asked.folder));
  const file = args.script ?? (args.demo ? demo : undefined);
  if (file !== undefined) {
    return runScript({ file, logLevel: quiet(settings), show: printing(args.json, write) });
  }
  if (args.backup !== undefined) return backUp(settings, args.backup, write);
  if (args.move !== undefined) {
    makeDataFolder(settings.TAGLINE_DATA);
    write(await move(settings, args.move));
    return;
  }
  if (args.list || args.purge !== undefined) {
    const store = await openStore(settings);
    const operator = { store, settings, nowMs: systemClock().wallMs(), write };
    try {
      return await (args.purge === undefined
        ? listTrips(operator)
        : purgeTrip(operator, args.purge));
    } finally {
      await store.close();
    }
  }
  await serve(asked);
}

/** At a terminal only what needs somebody's eye is logged: the rest would stand between the answers. */
function quiet({ LOG_LEVEL }: Settings): string {
  return LOG_LEVEL === 'info' ? 'warn' : LOG_LEVEL;
}

async function shareSecret({ store, log }: Ports, { TAGLINE_DATA }: Settings): Promise<void> {
  const aside = await sharePageSecret(store, TAGLINE_DATA);
  if (aside === undefined) return;
  log.warn(
    { aside },
    'contacts’ links are made of the database’s secret; the one of this machine was put aside',
  );
}

async function backUp(settings: Settings, to: string, write: Start['write']): Promise<void> {
  const store = await openStore(settings);
  try {
    await store.backup(to);
    write(`Copied to ${to}.\n`);
  } finally {
    await store.close();
  }
}

async function serve({ settings, version }: Start): Promise<void> {
  const token = settings.DISCORD_TOKEN;
  const log = createLog(token === undefined ? quiet(settings) : settings.LOG_LEVEL);
  makeDataFolder(settings.TAGLINE_DATA);
  log.info({ version, node: process.version }, 'starting');
  const store = holdingStore(await openStore(settings, log), { log });
  const ports = { store, clock: systemClock(), ids: randomIds(), log };
  try {
    if (settings.TAGLINE_DATABASE_URL !== undefined) await shareSecret(ports, settings);
    if (token === undefined) return await runTerminal(ports, settings);
    // Loaded only when needed: it takes a third of the time to the local channel's first answer.
    const { runDiscord } = await import('./discord.ts');
    await runDiscord(ports, settings, token);
  } finally {
    await store.close();
  }
  // Everything is closed. A request that Discord put off for an hour still waits in its library, which can't be
  // told to stop; it must not hold the process.
  process.exit();
}
