import { type NoticeData, newNotice, noticeData } from '../alarm/notice.ts';
import type { Words } from '../say/contact/words.ts';
import type { Message } from '../say/message.ts';
import type { NoticeRow } from '../store/port.ts';
import type { WayName } from './lanes.ts';
import type { WatchParts } from './ports.ts';

/**
 * A word of an alarm has arrived by this way. Where its end was told meanwhile, the end is told once
 * more by the same way: what came last must be what holds.
 */
export async function correct(
  parts: WatchParts,
  row: NoticeRow,
  { what, to }: NoticeData,
  way: WayName,
  began: { wallMs: number; seq: number; givenUp?: boolean },
): Promise<void> {
  const trip = what.kind === 'phase' ? await parts.records.load(row.trip) : undefined;
  if (trip === undefined || trip.state.seq === began.seq) return;
  const end = overtakenEnd(await parts.store.notices(row.trip), row, began);
  if (end === undefined) return;
  const atMs = parts.clock.wallMs();
  const about = newNotice(row.trip, to, end.data.what, atMs);
  const data: NoticeData = {
    ...end.data,
    progress: { gone: [], failures: 0, aloud: false, only: way, overtaken: true },
  };
  const notice = { ...about, key: `${end.key}/after/${row.nonce}`, data };
  await parts.store.fire({ trip: row.trip, keys: [], atMs, notices: [notice] });
}

/** A message with why it is told again. */
export function onceMore(message: Message, w: Words): Message {
  return { ...message, lines: [w.say('phase.overtaken'), ...message.lines] };
}

/**
 * The end of an alarm that this person was told of while an older word of it was on its way. What waits
 * for its turn behind that word comes last anyway; behind one that was given up nothing waits.
 */
function overtakenEnd(
  rows: readonly NoticeRow[],
  late: NoticeRow,
  began: { wallMs: number; givenUp?: boolean },
): { key: string; data: NoticeData } | undefined {
  const to = noticeData.safeParse(late.data).data?.to;
  const ends = rows.flatMap(({ key, data: raw, status, sentAtMs = 0 }) => {
    const data = noticeData.safeParse(raw).data;
    return data?.what.kind === 'ended' && data.to === to ? [{ key, data, status, sentAtMs }] : [];
  });
  const waiting = ends.filter((end) => end.status === 'pending');
  if (waiting.length > 0) return began.givenUp === true ? waiting[0] : undefined;
  return ends
    .filter((end) => end.status === 'sent' && end.sentAtMs >= began.wallMs)
    .sort((a, b) => b.sentAtMs - a.sentAtMs)[0];
}
