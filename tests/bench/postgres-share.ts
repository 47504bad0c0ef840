/** One of the processes that share a PostgreSQL database in `postgres.ts`: does its share when told to, and says how much that was. */
import { Client } from 'pg';
import type { Store } from '../../src/store/port.ts';
import { openPostgresStore } from '../../src/store/postgres/open.ts';
import { append, DAWN_MS } from '../store/posts.ts';

/** What is to be done: by the store, or by bare SQL that does the least the same thing needs. */
export interface Share {
  url: string;
  /** Which of them this is. */
  nth: number;
  what: 'append' | 'bare-append' | 'claim' | 'bare-claim';
  /** Posts to be made, or rows at most in a claim. */
  count: number;
  /** The trips it posts to, in turn, and the entry each has reached. */
  trips: string[];
  seq: number;
}

type Work = () => Promise<number>;

async function byStore(store: Store, share: Share): Promise<number> {
  const { nth, what, count, trips, seq } = share;
  if (what === 'append') {
    for (let i = 0; i < count; i++) {
      const at = seq + Math.floor(i / trips.length);
      const deadlines = [{ key: 'down', dueAtMs: DAWN_MS + 3_600_000, data: { phase: 'due' } }];
      const done = await store.append(append(trips[i % trips.length] as string, at, { deadlines }));
      if (!done.ok) throw new Error(`a post was not taken: ${done.why}`);
    }
    return count;
  }
  const owner = `share-${nth}`;
  let all = 0;
  for (;;) {
    const claim = { nowMs: DAWN_MS, owner, leaseUntilMs: DAWN_MS + 3_600_000, limit: count };
    // What it holds it is given again: what is fired is not.
    const due = await store.claimDue(claim);
    if (due.length === 0) return all;
    all += due.length;
    await Promise.all(
      due.map(({ trip, key }) => store.fire({ trip, keys: [key], atMs: DAWN_MS, notices: [] })),
    );
  }
}

async function bare(client: Client, { what, count }: Share): Promise<number> {
  if (what === 'bare-append') {
    for (let i = 0; i < count; i++) {
      await client.query({
        name: 'add',
        text: 'INSERT INTO bare_post (data) VALUES ($1)',
        values: ['{"pitch":5}'],
      });
    }
    return count;
  }
  let all = 0;
  for (;;) {
    const { rows } = await client.query<{ n: string }>({
      name: 'claim',
      text: `UPDATE bare_due SET owner = 'x' WHERE n IN (SELECT n FROM bare_due WHERE owner IS NULL
        ORDER BY n LIMIT $1 FOR UPDATE SKIP LOCKED) RETURNING n`,
      values: [count],
    });
    if (rows.length === 0) return all;
    all += rows.length;
    const fire = 'UPDATE bare_due SET fired = true WHERE n = $1';
    for (const { n } of rows) await client.query({ name: 'fire', text: fire, values: [n] });
  }
}

async function work(share: Share): Promise<{ run: Work; end: () => Promise<void> }> {
  if (share.what === 'append' || share.what === 'claim') {
    const store = await openPostgresStore({ url: share.url });
    await store.nextDue();
    return { run: () => byStore(store, share), end: () => store.close() };
  }
  const client = new Client({ connectionString: share.url });
  await client.connect();
  return { run: () => bare(client, share), end: () => client.end() };
}

const { run, end } = await work(JSON.parse(process.argv[2] as string) as Share);
process.once('message', async () => {
  const startMs = performance.now();
  const did = await run();
  process.send?.({ did, ms: performance.now() - startMs });
  await end();
  process.disconnect();
});
process.send?.('ready');
