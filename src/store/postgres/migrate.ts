import type { Client } from 'pg';
import { StoreError } from '../port.ts';
import type { Migration } from './migrations/migration.ts';

/** Held while the shape is changed, so that several processes may start at once. 'tagl' in ASCII. */
const LOCK = 0x7461676c;

/**
 * Brings the database to the newest shape, all missing steps in one transaction or none. Throws a
 * StoreError for a database of a newer release or of another program; nothing in it is changed then.
 */
export async function migrate(
  client: Client,
  name: string,
  migrations: readonly Migration[],
): Promise<void> {
  await client.query('BEGIN');
  try {
    // By schema: two of ours in one database don't wait for each other.
    await client.query("SELECT pg_advisory_xact_lock($1, hashtext(current_schema() || ''))", [
      LOCK,
    ]);
    const version = await versionOf(client, name, migrations.at(-1)?.version ?? 0);
    for (const step of migrations.filter((m) => m.version > version)) {
      await client.query(step.sql);
      await client.query('UPDATE tagline SET shape = $1', [step.version]);
    }
    await client.query('COMMIT');
  } catch (error) {
    await client.query('ROLLBACK').catch(() => undefined);
    throw error;
  }
}

async function versionOf(client: Client, name: string, newest: number): Promise<number> {
  const { rows } = await client.query<{ relname: string }>(
    `SELECT relname FROM pg_class
     WHERE relnamespace = current_schema()::regnamespace AND relkind IN ('r', 'p', 'v', 'm')`,
  );
  if (!rows.some((r) => r.relname === 'tagline')) {
    if (rows.length > 0) throw notOurs(name);
    await client.query('CREATE TABLE tagline (shape integer NOT NULL)');
    await client.query('INSERT INTO tagline (shape) VALUES (0)');
    return 0;
  }
  const found = await client.query<{ shape: number }>('SELECT shape FROM tagline');
  const version = found.rows[0]?.shape;
  if (version === undefined) throw notOurs(name);
  assertKnown(name, version, newest);
  return version;
}

/** Throws for a shape of a newer release. */
export function assertKnown(name: string, version: number, newest: number): void {
  if (version <= newest) return;
  throw new StoreError(
    'STORE_NEWER',
    `${name} was written by a newer release (shape ${version}, this one knows ${newest}). ` +
      'Start the newer release, or restore a copy made before it.',
  );
}

function notOurs(name: string): StoreError {
  return new StoreError(
    'STORE_NOT_OURS',
    `${name} holds tables of another program. Nothing in it was changed. Make a database of its own ` +
      'for tagline: createdb --encoding UTF8 --template template0 tagline',
  );
}
