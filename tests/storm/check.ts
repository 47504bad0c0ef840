/** What must hold after the kills, from the database itself and from what people saw. */

import { sqlite } from '../../src/store/sqlite/driver.ts';
import { openSqliteStore } from '../../src/store/sqlite/store.ts';
import type { SpawnedStand } from '../discord/spawned.ts';
import type { MailServer } from './mail.ts';
import type { SilentTrip } from './trips.ts';

const Sqlite = sqlite();

export interface Evidence {
  stand: SpawnedStand;
  mail: MailServer;
  /** Monotonic times of the kills. */
  killedAt: readonly number[];
  /** The same by the wall clock, which the stand-in goes by. */
  killedMs: readonly number[];
  /** Name of the trip that was damaged: what waits for its mending is no loss. */
  aside: string;
  /** How long after its end something about a trip may land. */
  graceMs: number;
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
  /** Shown once more after a kill, later than the platform folds a nonce. */
  again: number;
  /** And without a kill in between. */
  twice: number;
  folded: number;
  planned: number;
  unasked: number;
  mails: number;
  /** Mails that came once more after a kill: in its moment nobody knows whether one was taken. */
  mailsAgain: number;
  /** And without one in between. */
  mailsTwice: number;
  afterEnd: string[];
}

export async function checkRecord(evidence: Evidence): Promise<Totals> {
  const { stand, path, acked, trips, mail, aside, graceMs } = evidence;
  const db = new Sqlite(path, { readonly: true });
  const sound = db.pragma('integrity_check', { simple: true });
  if (sound !== 'ok') throw new Error(`the file is damaged: ${String(sound)}`);
  const ids = db
    .prepare<[string], string>('SELECT id FROM trip WHERE name <> ?')
    .pluck()
    .all(aside);
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
  const mailed = new Set(mail.arrived.map((m) => m.id.split('@')[0] ?? ''));
  const unseen = sent.filter((nonce) => !seen.has(nonce) && !mailed.has(nonce));
  why.push(...unseen.map((nonce) => `${nonce}: marked as sent, never shown`));
  undelivered += unseen.length;
  return {
    posts: acked.length,
    lost: acked.filter((w) => !words.has(w)).length,
    notices,
    undelivered,
    why,
    shown: nonces.length,
    ...shownTotals(messages, evidence),
    folded: stand.entries.filter((e) => e.kind === 'folded').length,
    ...mailTotals(evidence),
    afterEnd: trips.flatMap((t) => t.toldAfterEnd(graceMs)),
    planned: trips.reduce((sum, t) => sum + t.confirmed.length, 0),
    unasked: trips.reduce(
      (sum, t) => sum + t.confirmed.filter((at) => t.asked(at) === 0).length,
      0,
    ),
  };
}

function shownTotals(
  messages: readonly { nonce?: string | number; atMs: number }[],
  { killedMs }: Evidence,
): Pick<Totals, 'again' | 'twice'> {
  const last = new Map<string | number, number>();
  let [again, twice] = [0, 0];
  for (const { nonce, atMs } of messages) {
    if (nonce === undefined) continue;
    const before = last.get(nonce);
    last.set(nonce, atMs);
    if (before === undefined) continue;
    if (killedMs.some((ms) => ms >= before && ms <= atMs)) again += 1;
    else twice += 1;
  }
  return { again, twice };
}

function mailTotals({
  mail,
  killedAt,
}: Evidence): Pick<Totals, 'mails' | 'mailsAgain' | 'mailsTwice'> {
  const last = new Map<string, number>();
  let [mailsAgain, mailsTwice] = [0, 0];
  for (const { id, to, monoMs } of mail.arrived) {
    const key = `${id} ${to}`;
    const before = last.get(key);
    last.set(key, monoMs);
    if (before === undefined) continue;
    if (killedAt.some((ms) => ms >= before && ms <= monoMs)) mailsAgain += 1;
    else mailsTwice += 1;
  }
  return { mails: last.size, mailsAgain, mailsTwice };
}
