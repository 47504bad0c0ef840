/** What must hold after the kills, from the database itself and from what people saw. */

import type { Store } from '../../src/store/port.ts';
import { sqlite } from '../../src/store/sqlite/driver.ts';
import type { SpawnedStand } from '../discord/spawned.ts';
import type { SilentTrip } from './trips.ts';

export interface Evidence {
  stand: SpawnedStand;
  /** What they left. */
  store: Store;
  nowMs: number;
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

/** Throws when the file itself is not whole. */
export function assertSound(path: string): void {
  const db = new (sqlite())(path, { readonly: true });
  const sound = db.pragma('integrity_check', { simple: true });
  db.close();
  if (sound !== 'ok') throw new Error(`the file is damaged: ${String(sound)}`);
}

export async function checkRecord({
  stand,
  store,
  nowMs,
  acked,
  trips,
}: Evidence): Promise<Totals> {
  const overdue = (await store.due(nowMs - 60_000, 1000)).length;
  if (overdue !== 0) throw new Error(`${overdue} deadlines are due and have not rung`);
  const words = new Set<string>();
  let [notices, undelivered] = [0, 0];
  const sent: string[] = [];
  const why: string[] = [];
  for (const { id } of await store.openTrips()) {
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
