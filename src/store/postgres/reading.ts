import type { Client } from 'pg';
import type { Reading, Row, Table } from '../copy.ts';
import { asStoreError } from './errors.ts';
import type { Link } from './link.ts';

const LOT = 500;

/** As it stands at one moment, while others write: one snapshot serves all tables. */
export async function readPostgres<T>(
  link: Pick<Link, 'client' | 'name'>,
  work: (from: Reading) => Promise<T>,
): Promise<T> {
  return inTransaction(link, 'BEGIN ISOLATION LEVEL REPEATABLE READ READ ONLY', (client) =>
    work({ rows: (table) => rowsOf(client, table) }),
  );
}

/** A table's rows in order, in the transaction that is open. */
export async function* rowsOf(
  client: Client,
  { name, columns, order }: Table,
): AsyncGenerator<Row[]> {
  const quoted = (names: readonly string[]) => names.map((c) => `"${c}"`).join(', ');
  await client.query(
    `DECLARE lots NO SCROLL CURSOR FOR SELECT ${quoted(columns)} FROM ${name} ORDER BY ${quoted(order)}`,
  );
  for (;;) {
    const { rows } = await client.query<Row>(`FETCH ${LOT} FROM lots`);
    yield rows;
    if (rows.length < LOT) break;
  }
  await client.query('CLOSE lots');
}

/** Everything that `work` does is kept, or nothing. */
export async function inTransaction<T>(
  link: Pick<Link, 'client' | 'name'>,
  begin: string,
  work: (client: Client) => Promise<T>,
): Promise<T> {
  const client = link.client();
  client.on('error', () => undefined);
  try {
    await client.connect();
    await client.query(begin);
    const result = await work(client);
    await client.query('COMMIT');
    return result;
  } catch (error) {
    throw asStoreError(error, link.name);
  } finally {
    // Without a commit nothing of it stays.
    await client.end().catch(() => undefined);
  }
}
