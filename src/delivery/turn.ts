import { waysSaid } from '../alarm/consent.ts';
import { phaseNow, rankOf } from '../alarm/ladder.ts';
import { type NoticeData, noticeData } from '../alarm/notice.ts';
import { accountOf, FIELD, waysOf } from '../alarm/who.ts';
import type { Loaded } from '../record/records.ts';
import type { NewNotice, NoticeRow } from '../store/port.ts';
import type { Person } from '../trip/people.ts';
import { personById, type TripState } from '../trip/state.ts';
import { readTopic } from '../trip/topic.ts';
import type { AlarmPhase } from '../trip/watch-state.ts';
import { dialled, type Way, wayName } from '../trip/ways.ts';
import type { Lane, WayName } from './lanes.ts';

/** Failures of one way in a row before the next one takes its turn. */
const TRIES_PER_WAY = 2;
/** Failures after which somebody who may still be reached is passed over, aloud, and tried on. */
export const ALOUD_AFTER = 4;

/**
 * Ways that may still work, in the order this person chose. One that they keep for a graver step waits for it,
 * unless nothing else is left; what comes with a file goes first by a way that carries one.
 */
function open(state: TripState, { to, what, progress }: NoticeData): WayName[] {
  const person = to === FIELD ? undefined : personById(state, to);
  const all: WayName[] =
    to === FIELD ? ['channel'] : person === undefined ? [] : waysFor(state, person, what);
  const { gone, only } = progress;
  const left = all.filter((way) => !gone.includes(way) && (only === undefined || way === only));
  if (person === undefined) return left;
  const now = left.filter((way) => isTime(state, person, what, way));
  const found = now.length > 0 ? now : left;
  return WITH_FILE.has(what.kind)
    ? [...found.filter(carriesFiles), ...found.filter((way) => !carriesFiles(way))]
    : found;
}

/** They bring or clear the entries of a calendar. */
const WITH_FILE: ReadonlySet<NoticeData['what']['kind']> = new Set(['plan', 'over', 'removed']);
const carriesFiles = (way: WayName) => way === 'dm' || way === 'email';

/** Whether a way is used for this already. Who is asked, or rehearses, is reached by every way. */
function isTime(state: TripState, person: Person, what: NoticeData['what'], way: WayName): boolean {
  const from = way === 'channel' ? undefined : person.from?.[way];
  if (from === undefined || what.kind === 'invite' || what.kind === 'drill') return true;
  return rankOf(stepOf(state, what)) >= rankOf(from);
}

/** How grave what it is about is, or was; undefined for what is no alarm. */
export function stepOf(state: TripState, what: NoticeData['what']): AlarmPhase | undefined {
  switch (what.kind) {
    case 'phase':
    case 'ended':
    case 'early':
      return state.watch.raised.find((r) => r.seq === what.raised)?.phase;
    case 'called':
    case 'asked':
      return phaseNow(state)?.phase;
    case 'standdown':
    case 'stooddown':
      return 'distress';
    default:
      return undefined;
  }
}

/** An invitation goes by the way that it asks about; who never agreed is told by where they were asked. */
function waysFor(state: TripState, person: Person, what: NoticeData['what']): WayName[] {
  if (what.kind === 'invite') {
    return state.watch.consents.filter((c) => c.askedSeq === what.seq).map(({ way }) => way);
  }
  const agreed = waysOf(state, person);
  if (agreed.length > 0) return agreed;
  return [...new Set<Way>(waysSaid(state, person, 'asked').map(({ way }) => way))];
}

/** The way whose turn it is: failing ones take turns, and so do repeats. */
export function nextWay(state: TripState, data: NoticeData): WayName | undefined {
  const left = open(state, data);
  const { what, progress } = data;
  const again = what.kind === 'phase' ? (what.repeat ?? (what.lapsed === undefined ? 0 : 1)) : 0;
  const turn = again + Math.floor(progress.failures / TRIES_PER_WAY);
  return left[turn % Math.max(1, left.length)];
}

/**
 * Where the attempt goes. A server of mail is what stands behind the @; one push message goes to the host of each
 * of their browsers; and all phones are behind one gateway.
 */
export function laneOf({ state, row }: Loaded, to: string, way: WayName): Lane {
  const person = to === FIELD ? undefined : personById(state, to);
  const found = way === 'channel' ? [row.channel] : person && serversOf(state, person, way);
  const servers = found?.filter((one) => one !== undefined) ?? [];
  return { way, servers: [...new Set(servers)], person: `${row.id}\n${to}` };
}

function serversOf(state: TripState, person: Person, way: Way): (string | undefined)[] {
  switch (way) {
    case 'dm':
      return [accountOf(state, person)];
    case 'email':
      return [person.email?.split('@').at(-1)?.toLowerCase()];
    case 'phone':
      return dialled(person.phone) === undefined ? [] : ['gateway'];
    case 'ntfy':
      return [readTopic(person.ntfy ?? '')?.server];
    case 'push':
      return state.watch.devices
        .filter((d) => d.person === person.id)
        .map(({ endpoint }) => (URL.canParse(endpoint) ? new URL(endpoint).host : undefined));
  }
}

/**
 * Distress goes by all of a person's ways at once, and so do its end and a rehearsal: by this notice the first way is
 * taken, and the others by one of their own each. Undefined where one way is all there is.
 */
export function byAllWays(
  state: TripState,
  row: NoticeRow,
  data: NoticeData,
): { first: NoticeData; others: NewNotice[] } | undefined {
  if (data.progress.only !== undefined || !isForAllWays(state, data)) return undefined;
  const [first, ...rest] = open(state, data);
  if (first === undefined || rest.length === 0) return undefined;
  const by = (only: WayName): NoticeData => ({ ...data, progress: { ...data.progress, only } });
  const { key, trip, urgency, dueAtMs, expiresAtMs } = row;
  return {
    first: by(first),
    others: rest.map((way) => ({
      key: `${key}/by-${way}`,
      trip,
      urgency,
      dueAtMs,
      ...(expiresAtMs === undefined ? {} : { expiresAtMs }),
      data: by(way),
    })),
  };
}

function isForAllWays(state: TripState, { what }: NoticeData): boolean {
  const isDistress = (seq: number) =>
    state.watch.raised.find((r) => r.seq === seq)?.phase === 'distress';
  // A way that is never rehearsed is found dead when it counts.
  if (what.kind === 'drill') return true;
  if (what.kind === 'ended' || what.kind === 'early') return isDistress(what.raised);
  const again = what.kind === 'phase' && (what.repeat ?? what.lapsed) !== undefined;
  return what.kind === 'phase' && !again && isDistress(what.raised);
}

/** Whether the same notice has gone, or may still go, by another way of this person. */
export function otherWayGoes(rows: readonly NoticeRow[], row: NoticeRow): boolean {
  const base = baseOf(row.key);
  return rows.some((r) => r.key !== row.key && baseOf(r.key) === base && goes(r));
}

/** One that has failed often is not counted on: two that fail would each wait for the other, and nobody be told. */
function goes({ status, data }: NoticeRow): boolean {
  if (status !== 'pending') return status === 'sent';
  const progress = noticeData.safeParse(data).data?.progress;
  if (progress === undefined) return false;
  const { only, gone, failures } = progress;
  return failures < ALOUD_AFTER && (only === undefined || !gone.includes(only));
}

const BY_WAY = new RegExp(`/by-(?:${wayName.options.join('|')})$`, 'u');
const baseOf = (key: string) => key.replace(BY_WAY, '');
