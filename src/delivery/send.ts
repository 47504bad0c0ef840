import { type NoticeData, noticeData } from '../alarm/notice.ts';
import { renderNotice } from '../alarm/render.ts';
import { accountOf, FIELD, waysOf } from '../alarm/who.ts';
import type { Delivery, NoticeRow } from '../store/port.ts';
import { personById, type TripState } from '../trip/state.ts';
import type { Envelope, Sent, WatchParts } from './ports.ts';
import { loadTrip } from './record.ts';
import { backOffMs } from './retry.ts';
import { tellUnreached } from './unreached.ts';

type Outcome = Delivery['outcome'];
type WayName = NoticeData['progress']['gone'][number];

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
  if (row.expiresAtMs !== undefined && wallMs > row.expiresAtMs) {
    await tellUnreached(parts, row, data, 'expired', wallMs);
    return { status: 'expired', error: row.lastError ?? 'expired' };
  }
  const trip = await loadTrip(parts, row.trip);
  if (trip === undefined) return { status: 'cancelled', error: 'gone' };
  const rendered = renderNotice(trip.state, data, { nowMs: wallMs, organizer: parts.organizer });
  if ('drop' in rendered) return { status: 'cancelled', error: rendered.drop };
  const way = nextWay(trip.state, data);
  if (way === undefined) return giveUp(context, row, data, 'no-way');
  const envelope: Envelope = {
    message: rendered.send,
    trip: row.trip,
    nonce: row.nonce,
    nowMs: wallMs,
  };
  const sent = await attempt(context, way, trip.state, trip.channel, data.to, envelope);
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

async function attempt(
  { parts }: SendContext,
  way: WayName,
  state: TripState,
  channel: string,
  to: string,
  envelope: Envelope,
): Promise<Sent> {
  const done = new AbortController();
  const tooLong = parts.clock
    .sleep(ATTEMPT_MS, done.signal)
    .then((): Sent => ({ ok: false, retry: 'later', why: 'hang' }));
  try {
    return await Promise.race([tryWay(parts, way, state, channel, to, envelope), tooLong]);
  } catch (error) {
    parts.counters.fault('send');
    parts.log.error({ err: error, way }, 'sending failed in our own code');
    return { ok: false, retry: 'later', why: 'fault' };
  } finally {
    done.abort();
  }
}

function tryWay(
  { ways }: WatchParts,
  way: WayName,
  state: TripState,
  channel: string,
  to: string,
  envelope: Envelope,
): Promise<Sent> {
  const person = personById(state, to);
  const account = person && accountOf(state, person);
  const address = person?.email;
  const name = person?.name ?? '';
  const notSetUp: Promise<Sent> = Promise.resolve({
    ok: false,
    retry: 'never',
    why: `${way}-not-set-up`,
  });
  switch (way) {
    case 'channel':
      return ways.channel?.(channel, envelope) ?? notSetUp;
    case 'dm':
      return account === undefined
        ? notSetUp
        : (ways.dm?.({ account, name }, envelope) ?? notSetUp);
    case 'email':
      return address === undefined
        ? notSetUp
        : (ways.email?.({ address, name }, envelope) ?? notSetUp);
  }
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
