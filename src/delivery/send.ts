import { type NoticeData, noticeData } from '../alarm/notice.ts';
import { renderNotice } from '../alarm/render.ts';
import { accountOf } from '../alarm/who.ts';
import type { Loaded } from '../record/records.ts';
import { asUnreadable, UnreadableRecord } from '../record/unreadable.ts';
import type { Delivery, NoticeRow } from '../store/port.ts';
import { personById, type TripState } from '../trip/state.ts';
import { dialled } from '../trip/ways.ts';
import { withAnswers } from './answers.ts';
import { correct } from './correction.ts';
import { pushToAll } from './devices.ts';
import type { Lane, WayName } from './lanes.ts';
import { rehearsedInVain } from './lost-way.ts';
import type { Envelope, Sent, WatchParts } from './ports.ts';
import { backOffMs } from './retry.ts';
import { setAside, unreadableMessage } from './set-aside.ts';
import { shortOf } from './short.ts';
import { ALOUD_AFTER, byAllWays, laneOf, nextWay, otherWayGoes } from './turn.ts';
import { tellUnreached } from './unreached.ts';
import { worded } from './worded.ts';

type Outcome = Delivery['outcome'];

/** A notice of a trip that can't be read is tried again after this long. */
const UNREADABLE_MS = 5 * 60_000;
/** An attempt that takes longer is given up; the lease outlasts it. */
export const ATTEMPT_MS = 45_000;

export interface SendContext {
  parts: WatchParts;
  /** The watch's own time for waiting, which never goes back. */
  nowMs: number;
  /** Called when a notice has been queued after the attempt was over. */
  queued?: () => void;
}

/** What became of a notice without an attempt, or the attempt to be made and its lane. */
export type Prepared = { outcome: Outcome } | { lane: Lane; go(): Promise<Outcome> };

/** Delivers one notice at once, whoever else waits for the same lane. */
export async function sendNotice(context: SendContext, row: NoticeRow): Promise<Outcome> {
  const prepared = await prepareNotice(context, row);
  return 'outcome' in prepared ? prepared.outcome : prepared.go();
}

/**
 * Reads the trip anew and finds out by which way a notice goes. `go` words it, tries that way, and says
 * what came of it. What no longer holds is cancelled; a way that can't work is given up for the next; a
 * failure that may pass is tried again later. Only when no way is left has it failed, and then somebody
 * else is told.
 */
export async function prepareNotice(context: SendContext, row: NoticeRow): Promise<Prepared> {
  const { parts } = context;
  const parsed = noticeData.safeParse(row.data);
  if (!parsed.success) {
    parts.log.error({ key: row.key }, 'a notice that this release can’t read');
    return { outcome: { status: 'failed', error: 'unreadable' } };
  }
  const wallMs = parts.clock.wallMs();
  const trip = await parts.records.load(row.trip).catch(asUnreadable);
  if (trip instanceof UnreadableRecord) {
    const lane = { way: 'channel', servers: [trip.channel], person: row.trip } as const;
    return { lane, go: () => sendUnread(context, row, parsed.data, trip) };
  }
  if (trip === undefined) return { outcome: { status: 'cancelled', error: 'gone' } };
  if (row.expiresAtMs !== undefined && wallMs > row.expiresAtMs) {
    await tellUnreached(parts, row, parsed.data, 'expired', wallMs);
    return { outcome: { status: 'expired', error: row.lastError ?? 'expired' } };
  }
  const data = await splitByWay(parts, row, parsed.data, trip.state);
  const way = nextWay(trip.state, data);
  if (way !== undefined) {
    return { lane: laneOf(trip, data.to, way), go: () => go(context, row, data, way) };
  }
  const rendered = renderNotice(trip.state, data, {
    nowMs: wallMs,
    organizer: parts.organizer,
  });
  if ('drop' in rendered) return { outcome: { status: 'cancelled', error: rendered.drop } };
  const { only, gone } = data.progress;
  const why = only !== undefined && gone.includes(only) ? row.lastError : undefined;
  return { outcome: await giveUp(context, row, data, why ?? 'no-way') };
}

/** What goes by all ways at once becomes a notice for each. After a crash in between it is split again. */
async function splitByWay(
  parts: WatchParts,
  row: NoticeRow,
  data: NoticeData,
  state: TripState,
): Promise<NoticeData> {
  const split = byAllWays(state, row, data);
  if (split === undefined) return data;
  const atMs = parts.clock.wallMs();
  await parts.store.fire({ trip: row.trip, keys: [], atMs, notices: split.others });
  return split.first;
}

/** One attempt, worded from the record as it is now. */
async function go(
  context: SendContext,
  row: NoticeRow,
  data: NoticeData,
  way: WayName,
): Promise<Outcome> {
  const { parts } = context;
  const trip = await parts.records.load(row.trip);
  if (trip === undefined) return { status: 'cancelled', error: 'gone' };
  const wallMs = parts.clock.wallMs();
  const options = { nowMs: wallMs, organizer: parts.organizer };
  const rendered = renderNotice(trip.state, data, options);
  if ('drop' in rendered) return { status: 'cancelled', error: rendered.drop };
  const reader = { to: data.to, leaving: data.what.kind === 'leaving' };
  const { message, ...answered } = await withAnswers(parts, trip.state, reader, way, rendered.send);
  const whole = worded(parts, row, data, { state: trip.state, message, nowMs: wallMs });
  const short = shortOf(trip.state, data, way, { ...answered, message: whole }, wallMs);
  const envelope: Envelope = {
    message: whole,
    ...answered,
    ...(short === undefined ? {} : { short }),
    trip: row.trip,
    nonce: row.nonce,
    nowMs: wallMs,
    urgency: row.urgency,
  };
  const began = { wallMs, seq: trip.state.seq };
  const send = () => sendBy(parts, way, trip, data.to, envelope);
  const sent = await attempt(parts, way, send, async () => {
    await correct(parts, row, data, way, { ...began, givenUp: true });
    context.queued?.();
  });
  parts.counters.attempt(way, sent.ok ? 'sent' : sent.retry, sent.ok ? 'ok' : sent.why);
  if (sent.ok) {
    await correct(parts, row, data, way, began).catch((error: unknown) => {
      parts.log.error({ err: error, key: row.key }, 'an overtaken message could not be corrected');
    });
    return { status: 'sent', receipt: `${way}:${sent.receipt}` };
  }
  const { why, retry } = sent;
  parts.log.warn({ key: row.key, way, why, retry }, 'a notice did not go out');
  return retry === 'later'
    ? later(context, row, data, way, sent)
    : lostWay(context, row, data, way, why, trip.state);
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

/**
 * One try, given up when it takes too long. A way that isn't set up is never tried again. `late` is called
 * when what was given up has arrived after all.
 */
async function attempt(
  parts: WatchParts,
  way: WayName,
  send: () => Promise<Sent> | undefined,
  late: () => Promise<void> = async () => {},
): Promise<Sent> {
  const done = new AbortController();
  const tooLong = parts.clock
    .sleep(ATTEMPT_MS, done.signal)
    .then((): Sent => ({ ok: false, retry: 'later', why: 'hang' }));
  try {
    const sending = send();
    if (sending === undefined) return { ok: false, retry: 'never', why: `${way}-not-set-up` };
    const sent = await Promise.race([sending, tooLong]);
    const open = sent.ok || sent.retry === 'never' ? undefined : stillOpen(sent, sending);
    void open?.then((r) => (r.ok ? late() : undefined)).catch(() => {});
    return sent;
  } catch (error) {
    parts.counters.fault('send');
    parts.log.error({ err: error, way }, 'sending failed in our own code');
    return { ok: false, retry: 'later', why: 'fault' };
  } finally {
    done.abort();
  }
}

/** What was given up and may arrive all the same; undefined for what has failed. */
function stillOpen(
  { why, inTheEnd }: Extract<Sent, { retry: 'later' }>,
  sending: Promise<Sent>,
): Promise<Sent> | undefined {
  return why === 'hang' ? sending.then((r) => ('inTheEnd' in r ? (r.inTheEnd ?? r) : r)) : inTheEnd;
}

/** Sends by one way; undefined when it isn't set up, for us or for this person. */
function sendBy(
  parts: WatchParts,
  way: WayName,
  { state, row }: Loaded,
  to: string,
  envelope: Envelope,
): Promise<Sent> | undefined {
  const { ways } = parts;
  if (way === 'channel') return ways.channel?.(row.channel, envelope);
  const person = personById(state, to);
  if (person === undefined) return undefined;
  const { name, email: address, ntfy: topic } = person;
  const account = accountOf(state, person);
  if (way === 'dm')
    return account === undefined ? undefined : ways.dm?.({ account, name }, envelope);
  if (way === 'push') return pushToAll(parts, state, person, envelope);
  if (way === 'ntfy')
    return topic === undefined ? undefined : ways.ntfy?.({ address: topic, name }, envelope);
  if (way === 'phone') {
    const number = dialled(person.phone);
    return number === undefined ? undefined : ways.phone?.({ number, name }, envelope);
  }
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
  let { aloud } = data.progress;
  if (!aloud && urgent && failures >= ALOUD_AFTER && !(await goesOtherwise(parts, row, data))) {
    await tellUnreached(parts, row, data, sent.why, parts.clock.wallMs());
    aloud = true;
  }
  return {
    status: 'pending',
    nextTryAtMs: nowMs + backOffMs(failures, row.nonce, sent.afterMs, row.urgency),
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
  const isLast = nextWay(state, rest) === undefined;
  // One of several is marked first and given up then: two that fail in the same moment see that of each other.
  if (isLast && progress.only === undefined) return giveUp(context, row, rest, why);
  const error = isLast ? why : `${way}: ${why}`;
  return { status: 'pending', nextTryAtMs: context.nowMs, error, data: rest };
}

async function giveUp(
  { parts }: SendContext,
  row: NoticeRow,
  data: NoticeData,
  why: string,
): Promise<Outcome> {
  if (await goesOtherwise(parts, row, data)) {
    // Else nobody would know of a way that a rehearsal has found dead.
    if (data.what.kind === 'drill') await rehearsedInVain(parts, row.trip, data, why);
    return { status: 'cancelled', error: `${why}, told by another way` };
  }
  // First told, then marked: a crash in between tells it once more and not never.
  await tellUnreached(parts, row, data, why, parts.clock.wallMs());
  return { status: 'failed', error: why };
}

/** One of several that go by all ways at once, of which another has gone or may still go. */
async function goesOtherwise(
  { store }: WatchParts,
  row: NoticeRow,
  { progress }: NoticeData,
): Promise<boolean> {
  return progress.only !== undefined && otherWayGoes(await store.notices(row.trip), row);
}
