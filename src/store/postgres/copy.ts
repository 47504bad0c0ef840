import type { Client } from 'pg';
import { systemClock } from '../../system/clock.ts';
import { copyAll, type Filling, type Reading, type Row } from '../copy.ts';
import { StoreError } from '../port.ts';
import { clean, json } from './encode.ts';
import { Link } from './link.ts';
import { openPostgresStore } from './open.ts';
import { inTransaction, readPostgres, rowsOf } from './reading.ts';

/**
 * Fills the database at `url`, which has to be empty; everything or nothing is there afterwards.
 *
 * @throws StoreError when there is something in it, or a bot runs on it
 */
export async function fillPostgres(url: string, from: Reading): Promise<Record<string, number>> {
  // Gives it our shape, and sees that it can be relied on.
  await (await openPostgresStore({ url })).close();
  const link = new Link(url, systemClock());
  try {
    return await inTransaction(link, 'BEGIN', async (client) => {
      await client.query('LOCK TABLE trip, fact IN ACCESS EXCLUSIVE MODE');
      const { rows } = await client.query(
        'SELECT 1 FROM trip UNION ALL SELECT 1 FROM lease LIMIT 1',
      );
      if (rows.length > 0) {
        throw new StoreError(
          'STORE_NOT_OURS',
          `${link.name} has trips in it already, or a bot runs on it. Nothing in it was changed. ` +
            'Give an empty database.',
        );
      }
      await client.query('DELETE FROM fact');
      return copyAll(cleaned(from), filling(client));
    });
  } finally {
    await link.close();
  }
}

/** The same of the database at `url`. Throws while a bot runs on it: what it writes after the copy would be lost. */
export async function readIdlePostgres<T>(
  url: string,
  work: (from: Reading) => Promise<T>,
): Promise<T> {
  await (await openPostgresStore({ url })).close();
  const link = new Link(url, systemClock());
  try {
    const text = `SELECT owner FROM lease WHERE name LIKE 'process:%' AND until_ms > now_ms() LIMIT 1`;
    const [row] = await link.ask<{ owner: string }>({ name: 'at_work', text }, []);
    if (row === undefined) return await readPostgres(link, work);
    throw new StoreError(
      'STORE_BUSY',
      `${link.name} is in use by a running tagline (${row.owner}). Stop all of them, wait a quarter of a ` +
        'minute, and try again.',
    );
  } finally {
    await link.close();
  }
}

function filling(client: Client): Filling {
  return {
    rows: (table) => rowsOf(client, table),
    async put({ name, columns }, rows) {
      const quoted = columns.map((c) => `"${c}"`).join(', ');
      await client.query(
        `INSERT INTO ${name} (${quoted})
         SELECT ${quoted} FROM jsonb_populate_recordset(NULL::${name}, $1::jsonb)`,
        [json(rows)],
      );
    },
  };
}

/** Rows as PostgreSQL can hold them. */
function cleaned(from: Reading): Reading {
  return {
    async *rows(table) {
      for await (const rows of from.rows(table)) yield rows.map(cleanRow);
    },
  };
}

function cleanRow(row: Row): Row {
  return Object.fromEntries(
    Object.entries(row).map(([name, v]) => [name, typeof v === 'string' ? clean(v) : v]),
  );
}
