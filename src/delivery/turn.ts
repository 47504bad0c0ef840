import { waysSaid } from '../alarm/consent.ts';
import type { NoticeData } from '../alarm/notice.ts';
import { accountOf, FIELD, waysOf } from '../alarm/who.ts';
import type { Loaded } from '../record/records.ts';
import type { NewNotice, NoticeRow } from '../store/port.ts';
import type { Person } from '../trip/people.ts';
import { personById, type TripState } from '../trip/state.ts';
import type { Lane, WayName } from './lanes.ts';

/** Failures of one way in a row before the next one takes its turn. */
const TRIES_PER_WAY = 2;

/** Ways that may still work, in the order this person chose. */
function open(state: TripState, { to, what, progress }: NoticeData): WayName[] {
  const person = to === FIELD ? undefined : personById(state, to);
  const all: WayName[] =
    to === FIELD ? ['channel'] : person === undefined ? [] : waysFor(state, person, what);
  const { gone, only } = progress;
  return all.filter((way) => !gone.includes(way) && (only === undefined || way === only));
}

/** An invitation goes by the way that it asks about; who never agreed is told by where they were asked. */
function waysFor(state: TripState, person: Person, what: NoticeData['what']): WayName[] {
  if (what.kind === 'invite') {
    return state.watch.consents.filter((c) => c.askedSeq === what.seq).map(({ way }) => way);
  }
  const agreed = waysOf(state, person);
  return agreed.length > 0 ? agreed : waysSaid(state, person, 'asked').map(({ way }) => way);
}

/** The way whose turn it is: failing ones take turns, and so do repeats. */
export function nextWay(state: TripState, data: NoticeData): WayName | undefined {
  const left = open(state, data);
  const { what, progress } = data;
  const again = what.kind === 'phase' ? (what.repeat ?? (what.lapsed === undefined ? 0 : 1)) : 0;
  const turn = again + Math.floor(progress.failures / TRIES_PER_WAY);
  return left[turn % Math.max(1, left.length)];
}

/** Where the attempt goes. A server of mail is what stands behind the @. */
export function laneOf({ state, row }: Loaded, to: string, way: WayName): Lane {
  const person = to === FIELD ? undefined : personById(state, to);
  const account = person === undefined ? undefined : accountOf(state, person);
  const server =
    way === 'channel'
      ? row.channel
      : way === 'dm'
        ? account
        : person?.email?.split('@').at(-1)?.toLowerCase();
  return { way, server: server ?? '', person: `${row.id}\n${to}` };
}

/**
 * Distress goes by all of a person's ways at once, and so does its end: by this notice the first way is
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
  if (what.kind === 'ended' || what.kind === 'early') return isDistress(what.raised);
  const again = what.kind === 'phase' && (what.repeat ?? what.lapsed) !== undefined;
  return what.kind === 'phase' && !again && isDistress(what.raised);
}

/** Whether the same notice has gone, or may still go, by another way of this person. */
export function otherWayGoes(rows: readonly NoticeRow[], row: NoticeRow): boolean {
  const base = baseOf(row.key);
  return rows.some(
    (r) =>
      r.key !== row.key &&
      baseOf(r.key) === base &&
      (r.status === 'sent' || r.status === 'pending'),
  );
}

const baseOf = (key: string) => key.replace(/\/by-(?:dm|email)$/u, '');
