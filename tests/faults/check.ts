/** What must hold after the kills, from the database itself and from what people saw. */

import type { NoticeRow, Store } from '../../src/store/port.ts';
import { sqlite } from '../../src/store/sqlite/driver.ts';
import type { Entry } from '../discord/journal.ts';
import type { SpawnedStand } from '../discord/spawned.ts';
import type { MailServer } from './mail.ts';
import type { SilentTrip } from './trips.ts';

export interface Evidence {
  stand: SpawnedStand;
  mail: MailServer;
  /** What they left. */
  store: Store;
  nowMs: number;
  kills: readonly Kill[];
  /** Name of the trip that was damaged: what waits for its mending is no loss. */
  aside?: string;
  /** How long after its end something about a trip may land. */
  graceMs: number;
  /** Words of posts that were answered. */
  acked: readonly string[];
  trips: readonly SilentTrip[];
}

/** A kill by both clocks of this machine: the stand-in goes by the wall, the mail server by the other. */
export interface Kill {
  wallMs: number;
  monoMs: number;
}

export interface Totals {
  posts: number;
  lost: number;
  notices: number;
  undelivered: number;
  /** Put off by the platform until after the run, as it asked: they wait for their time. */
  parked: number;
  /** What became of the undelivered. */
  why: string[];
  shown: number;
  /** Shown once more after a kill, later than the platform folds a nonce. */
  again: number;
  /** And without a kill in between: which. */
  twice: string[];
  folded: number;
  planned: number;
  unasked: number;
  mails: number;
  /** Mails that came once more after a kill: in its moment nobody knows whether one was taken. */
  mailsAgain: number;
  /** And without one in between: which. */
  mailsTwice: string[];
  afterEnd: string[];
}

/** Throws when the file itself is not whole. */
export function assertSound(path: string): void {
  const db = new (sqlite())(path, { readonly: true });
  const sound = db.pragma('integrity_check', { simple: true });
  db.close();
  if (sound !== 'ok') throw new Error(`the file is damaged: ${String(sound)}`);
}

export async function checkRecord(evidence: Evidence): Promise<Totals> {
  const { stand, store, nowMs, acked, trips, mail, aside, graceMs } = evidence;
  const overdue = (await store.due(nowMs - 60_000, 1000)).length;
  if (overdue !== 0) throw new Error(`${overdue} deadlines are due and have not rung`);
  const words = new Set<string>();
  let [notices, undelivered, parked] = [0, 0, 0];
  const sent: string[] = [];
  const why: string[] = [];
  for (const { id, name } of await store.openTrips()) {
    if (name === aside) continue;
    const events = await store.events(id);
    if (events.some((e, i) => e.seq !== i + 1)) throw new Error(`${id}: a gap in the record`);
    for (const e of events) words.add((e.data as { words?: string }).words ?? '');
    for (const row of await store.notices(id)) {
      notices += 1;
      if (row.status === 'sent') sent.push(row.nonce);
      else if (isParked(row, nowMs)) parked += 1;
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
  const mailed = new Set(mail.arrived.map((m) => m.id.split('@')[0] ?? ''));
  const unseen = sent.filter((nonce) => !seen.has(nonce) && !mailed.has(nonce));
  why.push(...unseen.map((nonce) => `${nonce}: marked as sent, never shown`));
  undelivered += unseen.length;
  return {
    posts: acked.length,
    lost: acked.filter((w) => !words.has(w)).length,
    notices,
    undelivered,
    parked,
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

/** Longer than the bot waits of itself between two attempts: the platform's own answer said when. */
const PUT_OFF_MS = 15 * 60_000;

function isParked({ status, lastError = '', nextTryAtMs }: NoticeRow, nowMs: number): boolean {
  // To a person its way stands before it: `dm: rate-limited`.
  const isLimited = /(?:^|: )rate-limited$/u.test(lastError);
  return status === 'pending' && isLimited && nextTryAtMs > nowMs + PUT_OFF_MS;
}

function shownTotals(
  messages: readonly Extract<Entry, { kind: 'message' }>[],
  { kills }: Evidence,
): Pick<Totals, 'again' | 'twice'> {
  const shown = messages.flatMap((m) =>
    m.nonce === undefined
      ? []
      : [{ key: `${m.nonce}`, at: m.atMs, what: `in ${m.channelId}: ${m.content}` }],
  );
  return repeats(
    shown,
    kills.map((k) => k.wallMs),
  );
}

function mailTotals({
  mail,
  kills,
}: Evidence): Pick<Totals, 'mails' | 'mailsAgain' | 'mailsTwice'> {
  const came = mail.arrived.map((m) => ({ key: `${m.id} ${m.to}`, at: m.monoMs, what: m.text }));
  const { again, twice } = repeats(
    came,
    kills.map((k) => k.monoMs),
  );
  return {
    mails: new Set(came.map((c) => c.key)).size,
    mailsAgain: again,
    mailsTwice: twice,
  };
}

/** What came more than once: with a kill since the time before, or without one. */
function repeats(
  came: readonly { key: string; at: number; what: string }[],
  kills: readonly number[],
): { again: number; twice: string[] } {
  const last = new Map<string, number>();
  let again = 0;
  const twice: string[] = [];
  for (const { key, at, what } of came) {
    const before = last.get(key);
    last.set(key, at);
    if (before === undefined) continue;
    if (kills.some((kill) => kill >= before && kill <= at)) again += 1;
    else {
      const since = kills.filter((kill) => kill < before).at(-1) ?? Number.NEGATIVE_INFINITY;
      twice.push(
        `${key} after ${Math.round(at - before)} ms, first ${Math.round(before - since)} ms after a kill: ${what.slice(0, 120)}`,
      );
    }
  }
  return { again, twice };
}
