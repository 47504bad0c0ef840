/** What must hold after the kills, from the database itself and from what people saw. */

import { sqlite } from '../../src/store/sqlite/driver.ts';
import { openSqliteStore } from '../../src/store/sqlite/store.ts';
import type { SpawnedStand } from '../discord/spawned.ts';
import type { SilentTrip } from './trips.ts';

const Sqlite = sqlite();

export interface Evidence {
  stand: SpawnedStand;
  path: string;
  /** Words of posts that were answered. */
  acked: readonly string[];
  trips: readonly SilentTrip[];
}

export interface Totals {
  posts: number;
  lost: number;
  notices: number;
  undelivered: number;
  /** What became of those. */
  why: string[];
  shown: number;
  twice: number;
  folded: number;
  planned: number;
  unasked: number;
}

export async function checkRecord({ stand, path, acked, trips }: Evidence): Promise<Totals> {
  const db = new Sqlite(path, { readonly: true });
  const sound = db.pragma('integrity_check', { simple: true });
  if (sound !== 'ok') throw new Error(`the file is damaged: ${String(sound)}`);
  const ids = db.prepare<[], string>('SELECT id FROM trip').pluck().all();
  const overdue = db
    .prepare<[], number>(
      `SELECT count(*) FROM deadline WHERE fired_at_ms IS NULL AND due_at_ms < unixepoch() * 1000 - 60000`,
    )
    .pluck()
    .get();
  db.close();
  if (overdue !== 0) throw new Error(`${overdue} deadlines are due and have not rung`);

  const store = openSqliteStore({ path });
  const words = new Set<string>();
  let [notices, undelivered] = [0, 0];
  const sent: string[] = [];
  const why: string[] = [];
  for (const id of ids) {
    const events = await store.events(id);
    if (events.some((e, i) => e.seq !== i + 1)) throw new Error(`${id}: a gap in the record`);
    for (const e of events) words.add((e.data as { words?: string }).words ?? '');
    for (const row of await store.notices(id)) {
      notices += 1;
      if (row.status === 'sent') sent.push(row.nonce);
      else if (row.status !== 'cancelled') {
        undelivered += 1;
        why.push(`${row.key}: ${row.status} after ${row.attempts} attempts, ${row.lastError}`);
      }
    }
  }
  await store.close();

  const messages = stand.entries.filter((e) => e.kind === 'message');
  const nonces = messages.flatMap((m) => (m.nonce === undefined ? [] : [String(m.nonce)]));
  const seen = new Set(nonces);
  // Marked as sent but never shown would be the worst of lies.
  const unseen = sent.filter((nonce) => !seen.has(nonce));
  why.push(...unseen.map((nonce) => `${nonce}: marked as sent, never shown`));
  undelivered += unseen.length;
  return {
    posts: acked.length,
    lost: acked.filter((w) => !words.has(w)).length,
    notices,
    undelivered,
    why,
    shown: nonces.length,
    twice: nonces.length - seen.size,
    folded: stand.entries.filter((e) => e.kind === 'folded').length,
    planned: trips.reduce((sum, t) => sum + t.confirmed.length, 0),
    unasked: trips.reduce(
      (sum, t) => sum + t.confirmed.filter((at) => t.asked(at) === 0).length,
      0,
    ),
  };
}
