import { z } from 'zod';
import { type NoticeData, newNotice, noticeData } from '../alarm/notice.ts';
import { asUnreadable, UnreadableRecord } from '../record/unreadable.ts';
import type { NewNotice, NoticeRow, Store } from '../store/port.ts';
import type { TripState } from '../trip/state.ts';
import type { WatchParts } from './ports.ts';
import { JUMP_MS } from './times.ts';

/** What was told by a clock that was wrong: to be told again at the right time. */
const list = z.array(z.strictObject({ trip: z.string(), key: z.string(), atMs: z.number() }));
type Early = z.infer<typeof list>[number];

const FACT = 'watch.told-early';

/**
 * Finds what was told too early, once it is known that the clock was ahead: notices of phases that are
 * marked as sent later than it is now. Whoever was told hears that at once, and what was told is kept in
 * the store, to be told again at its time.
 */
export async function findEarly({ store, records }: WatchParts, nowMs: number): Promise<void> {
  const found: Early[] = [];
  for (const { id } of await store.openTrips()) {
    const rows = (await store.notices(id)).filter((row) => early(row, nowMs));
    const loaded = rows.length === 0 ? undefined : await records.load(id).catch(asUnreadable);
    if (loaded === undefined || loaded instanceof UnreadableRecord) continue;
    const untimely = rows.filter((row) => !aboutTrouble(loaded.state, row));
    found.push(...untimely.map((row) => ({ trip: id, key: row.key, atMs: row.dueAtMs })));
    const notices = corrections(id, untimely, nowMs);
    if (notices.length > 0) await store.fire({ trip: id, keys: [], atMs: nowMs, notices });
  }
  if (found.length === 0) return;
  await change(store, (known) => {
    const keys = new Set(known.map((e) => e.key));
    return [...known, ...found.filter((e) => !keys.has(e.key))];
  });
}

/** Trouble is told when it is told of: no clock makes that too early. */
function aboutTrouble({ watch }: TripState, row: NoticeRow): boolean {
  const seq = raisedIn(row);
  return watch.raised.find((r) => r.seq === seq)?.root.startsWith('trouble:') === true;
}

/** One to each who was told, about the gravest of what they were told. */
function corrections(trip: string, rows: readonly NoticeRow[], nowMs: number): NewNotice[] {
  const gravest = new Map<string, NoticeRow>();
  for (const row of rows) {
    const { to } = noticeData.parse(row.data);
    const other = gravest.get(to);
    if (other === undefined || row.urgency < other.urgency) gravest.set(to, row);
  }
  return [...gravest].map(([to, row]) =>
    newNotice(trip, to, { kind: 'early', raised: raisedIn(row) ?? 0 }, nowMs),
  );
}

function raisedIn(row: NoticeRow): number | undefined {
  const { what } = noticeData.parse(row.data);
  return what.kind === 'phase' ? what.raised : undefined;
}

/** Queues again what is due by now; resolves to how many. */
export async function retellDue(store: Store, nowMs: number): Promise<number> {
  const due = read(await store.getFact(FACT)).filter((e) => e.atMs <= nowMs);
  for (const { trip, key } of due) {
    const row = (await store.notices(trip)).find((r) => r.key === key);
    const data = row === undefined ? undefined : noticeData.safeParse(row.data).data;
    if (row === undefined || data === undefined) continue;
    await store.fire({ trip, keys: [], atMs: nowMs, notices: [again(row, data, nowMs)] });
  }
  if (due.length > 0) await change(store, (all) => all.filter((e) => e.atMs > nowMs));
  return due.length;
}

function again({ key, trip, urgency }: NoticeRow, data: NoticeData, nowMs: number) {
  const { only } = data.progress;
  const progress = {
    gone: [],
    failures: 0,
    aloud: false,
    early: true,
    ...(only === undefined ? {} : { only }),
  };
  return { key: `${key}/right-time`, trip, urgency, dueAtMs: nowMs, data: { ...data, progress } };
}

function early(row: NoticeRow, nowMs: number): boolean {
  const sent = row.status === 'sent' && (row.sentAtMs ?? 0) > nowMs + JUMP_MS;
  return sent && row.dueAtMs > nowMs && noticeData.safeParse(row.data).data?.what.kind === 'phase';
}

function read(text: string | undefined): Early[] {
  return text === undefined ? [] : (list.safeParse(JSON.parse(text)).data ?? []);
}

/** Anew when another process has changed it meanwhile. */
async function change(
  store: Store,
  make: (all: readonly Early[]) => readonly Early[],
): Promise<void> {
  for (;;) {
    const was = await store.getFact(FACT);
    const all = make(read(was));
    const text = all.length === 0 ? undefined : JSON.stringify(all);
    if (await store.swapFact(FACT, was, text)) return;
  }
}
