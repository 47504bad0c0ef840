import { type NoticeData, noticeData } from '../alarm/notice.ts';
import { renderNotice } from '../alarm/render.ts';
import { accountOf, FIELD, waysOf } from '../alarm/who.ts';
import type { Loaded } from '../record/records.ts';
import { asUnreadable, UnreadableRecord } from '../record/unreadable.ts';
import type { Delivery, NoticeRow } from '../store/port.ts';
import { personById, type TripState } from '../trip/state.ts';
import type { Envelope, Sent, WatchParts } from './ports.ts';
import { backOffMs } from './retry.ts';
import { setAside, unreadableMessage } from './set-aside.ts';
import { tellUnreached } from './unreached.ts';

type Outcome = Delivery['outcome'];
type WayName = NoticeData['progress']['gone'][number];

/** A notice of a trip that can't be read is tried again after this long. */
const UNREADABLE_MS = 5 * 60_000;
/** Failures after which somebody who may still be reached is passed over, aloud, and tried on. */
const ALOUD_AFTER = 4;
/** Failures of one way in a row before the next one takes its turn. */
const TRIES_PER_WAY = 2;
/** An attempt that takes longer is given up; the lease outlasts it. */
export const ATTEMPT_MS = 45_000;

export interface SendContext {
  parts: WatchParts;
  /** The watch's own time for waiting, which never goes back. */
  nowMs: number;
}

/**
 * Delivers one notice: reads the trip again, words it, tries one way, and says what came of it. What
 * no longer holds is cancelled; a way that can't work is given up for the next; a failure that may
 * pass is tried again later. Only when no way is left has it failed, and then somebody else is told.
 */
export async function sendNotice(context: SendContext, row: NoticeRow): Promise<Outcome> {
  const { parts } = context;
  const parsed = noticeData.safeParse(row.data);
  if (!parsed.success) {
    parts.log.error({ key: row.key }, 'a notice that this release can’t read');
    return { status: 'failed', error: 'unreadable' };
  }
  const data = parsed.data;
  const wallMs = parts.clock.wallMs();
  const trip = await parts.records.load(row.trip).catch(asUnreadable);
  if (trip instanceof UnreadableRecord) return sendUnread(context, row, data, trip);
  if (trip === undefined) return { status: 'cancelled', error: 'gone' };
  if (row.expiresAtMs !== undefined && wallMs > row.expiresAtMs) {
    await tellUnreached(parts, row, data, 'expired', wallMs);
    return { status: 'expired', error: row.lastError ?? 'expired' };
  }
  const rendered = renderNotice(trip.state, data, { nowMs: wallMs, organizer: parts.organizer });
  if ('drop' in rendered) return { status: 'cancelled', error: rendered.drop };
  const way = nextWay(trip.state, data);
  if (way === undefined) return giveUp(context, row, data, 'no-way');
  const envelope: Envelope = {
    message: await withOwnPage(parts, trip.state, data.to, rendered.send),
    trip: row.trip,
    nonce: row.nonce,
    nowMs: wallMs,
  };
  const sent = await attempt(parts, way, () => sendBy(parts, way, trip, data.to, envelope));
  parts.counters.attempt(way, sent.ok ? 'sent' : sent.retry, sent.ok ? 'ok' : sent.why);
  if (sent.ok) return { status: 'sent', receipt: `${way}:${sent.receipt}` };
  parts.log.warn(
    { key: row.key, way, why: sent.why, retry: sent.retry },
    'a notice did not go out',
  );
  return sent.retry === 'later'
    ? later(context, row, data, way, sent)
    : lostWay(context, row, data, way, sent.why, trip.state);
}

/** A contact's own page goes with every message to them: there they answer without the chat. */
async function withOwnPage(
  { ownPage }: WatchParts,
  state: TripState,
  to: string,
  message: Envelope['message'],
): Promise<Envelope['message']> {
  const contact = personById(state, to)?.roles.includes('contact') === true;
  if (!contact || ownPage === undefined) return message;
  return { ...message, links: [{ label: 'Your page', url: await ownPage(state.id, to) }] };
}

/** Of a trip that can't be read only this can be told; the rest waits until it can be. */
async function sendUnread(
  { parts, nowMs }: SendContext,
  row: NoticeRow,
  { what }: NoticeData,
  error: UnreadableRecord,
): Promise<Outcome> {
  const waiting = {
    status: 'pending',
    nextTryAtMs: nowMs + UNREADABLE_MS,
    error: 'unreadable',
  } as const;
  if (what.kind !== 'unreadable') {
    await setAside(parts, error, []);
    return waiting;
  }
  const wallMs = parts.clock.wallMs();
  const envelope = {
    message: unreadableMessage(error),
    trip: row.trip,
    nonce: row.nonce,
    nowMs: wallMs,
  };
  const sent = await attempt(parts, 'channel', () => parts.ways.channel?.(error.channel, envelope));
  if (sent.ok) return { status: 'sent', receipt: `channel:${sent.receipt}` };
  return sent.retry === 'later' ? waiting : { status: 'failed', error: sent.why };
}

/** Ways that may still work, in the order this person chose; failing ones take turns. */
function open(state: TripState, { to, progress }: NoticeData): WayName[] {
  const person = to === FIELD ? undefined : personById(state, to);
  const all: WayName[] =
    to === FIELD ? ['channel'] : person === undefined ? [] : waysOf(state, person);
  return all.filter((way) => !progress.gone.includes(way));
}

function nextWay(state: TripState, data: NoticeData): WayName | undefined {
  const left = open(state, data);
  return left[Math.floor(data.progress.failures / TRIES_PER_WAY) % Math.max(1, left.length)];
}

/** One try, given up when it takes too long. A way that isn't set up is never tried again. */
async function attempt(
  parts: WatchParts,
  way: WayName,
  send: () => Promise<Sent> | undefined,
): Promise<Sent> {
  const done = new AbortController();
  const tooLong = parts.clock
    .sleep(ATTEMPT_MS, done.signal)
    .then((): Sent => ({ ok: false, retry: 'later', why: 'hang' }));
  try {
    const sending = send();
    if (sending === undefined) return { ok: false, retry: 'never', why: `${way}-not-set-up` };
    return await Promise.race([sending, tooLong]);
  } catch (error) {
    parts.counters.fault('send');
    parts.log.error({ err: error, way }, 'sending failed in our own code');
    return { ok: false, retry: 'later', why: 'fault' };
  } finally {
    done.abort();
  }
}

/** Sends by one way; undefined when it isn't set up, for us or for this person. */
function sendBy(
  { ways }: WatchParts,
  way: WayName,
  { state, row }: Loaded,
  to: string,
  envelope: Envelope,
): Promise<Sent> | undefined {
  if (way === 'channel') return ways.channel?.(row.channel, envelope);
  const person = personById(state, to);
  if (person === undefined) return undefined;
  const { name, email: address } = person;
  const account = accountOf(state, person);
  if (way === 'dm')
    return account === undefined ? undefined : ways.dm?.({ account, name }, envelope);
  return address === undefined ? undefined : ways.email?.({ address, name }, envelope);
}

async function later(
  { parts, nowMs }: SendContext,
  row: NoticeRow,
  data: NoticeData,
  way: WayName,
  sent: Extract<Sent, { retry: 'later' }>,
): Promise<Outcome> {
  const failures = data.progress.failures + 1;
  const urgent = data.what.kind === 'phase';
  const aloud = data.progress.aloud || (urgent && failures >= ALOUD_AFTER);
  if (aloud && !data.progress.aloud) {
    await tellUnreached(parts, row, data, sent.why, parts.clock.wallMs());
  }
  return {
    status: 'pending',
    nextTryAtMs: nowMs + backOffMs(failures, row.nonce, sent.afterMs),
    error: `${way}: ${sent.why}`,
    data: { ...data, progress: { ...data.progress, failures, aloud } } satisfies NoticeData,
  };
}

async function lostWay(
  context: SendContext,
  row: NoticeRow,
  data: NoticeData,
  way: WayName,
  why: string,
  state: TripState,
): Promise<Outcome> {
  const progress = { ...data.progress, gone: [...data.progress.gone, way], failures: 0 };
  const rest: NoticeData = { ...data, progress };
  if (nextWay(state, rest) === undefined) return giveUp(context, row, rest, why);
  return { status: 'pending', nextTryAtMs: context.nowMs, error: `${way}: ${why}`, data: rest };
}

async function giveUp(
  { parts }: SendContext,
  row: NoticeRow,
  data: NoticeData,
  why: string,
): Promise<Outcome> {
  // First told, then marked: a crash in between tells it once more and not never.
  await tellUnreached(parts, row, data, why, parts.clock.wallMs());
  return { status: 'failed', error: why };
}
