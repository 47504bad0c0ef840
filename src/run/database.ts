import { existsSync } from 'node:fs';
import { join } from 'node:path';
import type { Logger } from 'pino';
import { type Settings, SettingsError } from '../settings.ts';
import { type Store, StoreError } from '../store/port.ts';
import { openSqliteStore } from '../store/sqlite/store.ts';
import type { Move } from './arguments.ts';

/** Path of the file that is the database where no other is named. */
function fileOf(settings: Settings): string {
  return join(settings.TAGLINE_DATA, 'tagline.db');
}

/** The database that the settings name. What is not used is not loaded. */
export async function openStore(
  settings: Settings,
  log?: Pick<Logger, 'info' | 'error'>,
): Promise<Store> {
  const url = settings.TAGLINE_DATABASE_URL;
  if (url !== undefined) {
    return (await import('../store/postgres/open.ts')).openPostgresStore({ url });
  }
  return openSqliteStore({ path: fileOf(settings), ...(log === undefined ? {} : { log }) });
}

/**
 * Copies everything from the file into PostgreSQL, or back, into an empty place; what was copied from stays as
 * it is. No bot may run on either.
 *
 * @returns what to tell whoever asked
 */
export async function move(settings: Settings, how: Move): Promise<string> {
  const [file, url] = [fileOf(settings), settings.TAGLINE_DATABASE_URL];
  if (url === undefined) {
    throw new SettingsError('Name the PostgreSQL database in TAGLINE_DATABASE_URL.');
  }
  const counts = how === 'to-postgres' ? await toPostgres(file, url) : await toFile(file, url);
  const rows = Object.entries(counts).map(([table, count]) => `${count} ${table}`);
  const next =
    how === 'to-postgres'
      ? 'Start with TAGLINE_DATABASE_URL set from now on, and put the file away.'
      : 'Start without TAGLINE_DATABASE_URL from now on.';
  return `Copied and compared: ${rows.join(', ')}.\n${next}\n`;
}

async function toPostgres(file: string, url: string): Promise<Record<string, number>> {
  if (!existsSync(file)) {
    throw new StoreError(
      'STORE_UNREACHABLE',
      `There is no ${file} to copy. Name its folder in TAGLINE_DATA.`,
    );
  }
  const [{ readDatabase }, { fillPostgres }] = await Promise.all([
    import('../store/sqlite/copy.ts'),
    import('../store/postgres/copy.ts'),
  ]);
  return readDatabase(file, (from) => fillPostgres(url, from));
}

async function toFile(file: string, url: string): Promise<Record<string, number>> {
  if (existsSync(file)) {
    throw new StoreError(
      'STORE_NOT_OURS',
      `${file} is there already. Put it away, or name another folder.`,
    );
  }
  const [{ fillFile }, { readIdlePostgres }] = await Promise.all([
    import('../store/sqlite/copy.ts'),
    import('../store/postgres/copy.ts'),
  ]);
  return readIdlePostgres(url, (from) => fillFile(file, from));
}
