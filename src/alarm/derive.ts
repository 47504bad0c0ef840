import type { NewNotice } from '../store/port.ts';
import { openTroubles } from '../trip/conditions.ts';
import type { Fact } from '../trip/fact.ts';
import { actOf } from '../trip/kinds/acts.ts';
import { present, type TripState } from '../trip/state.ts';
import type { Raised } from '../trip/watch-state.ts';
import { type Deadline, deadlinesOf } from './deadlines.ts';
import { watched } from './expectations.ts';
import { reached } from './ladder.ts';
import { newNotice, noticeKey, type What } from './notice.ts';
import { accountOf, reachable } from './who.ts';
import type { EndedWhy } from './words/news.ts';

/**
 * A change of a trip: the states around it and the new facts. `before` is undefined for a new trip.
 */
export interface WatchChange {
  before: TripState | undefined;
  after: TripState;
  events: readonly Fact[];
  nowMs: number;
}

/** What is stored together with a change. */
export interface WatchDerived {
  deadlines: Deadline[];
  notices: NewNotice[];
  cancelNotices: string[];
}

/**
 * What has to be stored together with a change: the deadlines as they are now, and the notices that
 * the change itself calls for. Phases are not raised here. The watch's loop does that when a deadline
 * rings.
 */
export function deriveWatch(change: WatchChange): WatchDerived {
  const { before, after, nowMs } = change;
  const deadlines = deadlinesOf(after, nowMs);
  // An opened or imported trip has nobody who knew it as it was.
  if (before === undefined) return { deadlines, notices: [], cancelNotices: [] };
  const { notices, cancelNotices } = alarms(before, change);
  return {
    deadlines,
    notices: [
      ...notices,
      ...called(before, change),
      ...drills(before, change),
      ...times(before, change),
    ],
    cancelNotices,
  };
}

/** Notices to the groups whose alarm this change ends, and to those whose alarm it brings back. */
function alarms(
  before: TripState,
  { after, events, nowMs }: WatchChange,
): { notices: NewNotice[]; cancelNotices: string[] } {
  const [was, is] = [reached(before), reached(after)];
  const by = events[0]?.by.name ?? '';
  const why = reasonOf(before, after, events);
  const notices: NewNotice[] = [];
  const cancelNotices: string[] = [];
  for (const [group, raised] of was) {
    if (is.has(group)) continue;
    const about: What = { kind: 'ended', seq: after.seq, raised: raised.seq, why, by };
    notices.push(newNotice(after.id, group, about, nowMs));
    cancelNotices.push(...keysOf(before, group));
  }
  for (const [group, raised] of is) {
    // A struck sign of life brings the older, higher alarm back, though a lower one was raised since.
    if (was.get(group)?.seq === raised.seq) continue;
    const about: What = { kind: 'phase', raised: raised.seq, reopened: true };
    const more = { phase: raised.phase, key: `/${after.seq}` };
    notices.push(newNotice(after.id, group, about, nowMs, more));
  }
  return { notices, cancelNotices };
}

/** Keys of everything a group may still have pending about the alarm. */
function keysOf(state: TripState, group: string): string[] {
  return state.watch.raised
    .filter((r: Raised) => r.to.includes(group))
    .map((r) => noticeKey(state.id, group, { kind: 'phase', raised: r.seq }));
}

function reasonOf(before: TripState, after: TripState, events: readonly Fact[]): EndedWhy {
  if (after.downAtMs !== undefined) return 'down';
  if (after.closedAtMs !== undefined) return 'closed';
  if (openTroubles(after).length < openTroubles(before).length) return 'over';
  if (after.watch.signs.length > before.watch.signs.length) return 'heard';
  const acts = new Set(events.map((e) => actOf(e)?.does));
  if (acts.has('amend')) return 'heard';
  return acts.has('strike') ? 'struck' : 'moved';
}

function called(before: TripState, { after, nowMs }: WatchChange): NewNotice[] {
  const call = after.watch.called.at(-1);
  if (call === undefined || call.seq <= before.seq) return [];
  // Whoever made the call knows.
  const caller = present(after).find((p) => accountOf(after, p) === call.by.id)?.id;
  return [...reached(after).keys()]
    .filter((group) => group !== caller)
    .map((group) => newNotice(after.id, group, { kind: 'called', seq: call.seq }, nowMs));
}

function drills(before: TripState, { after, nowMs }: WatchChange): NewNotice[] {
  return after.watch.drills
    .filter((drill) => drill.seq > before.seq)
    .map(({ to, seq }) => newNotice(after.id, to, { kind: 'drill', seq }, nowMs));
}

/** Contacts hear of the departure, of every moved time, and of the end: each with a calendar file. */
function times(before: TripState, { after, nowMs }: WatchChange): NewNotice[] {
  const [was, is] = [watched(before), watched(after)];
  if (!was && !is) return [];
  const about: What = !is
    ? { kind: 'over', seq: after.seq }
    : {
        kind: 'plan',
        seq: after.seq,
        departed: !was,
        ...(before.downAtMs === undefined ? {} : { upAgain: true }),
      };
  const known = new Set(reachable(before).map((p) => p.id));
  // A contact who joins while the party is on the wall has not heard of the departure.
  const newcomersOnly = was && is && sameTimes(before, after);
  return reachable(after)
    .filter((p) => !newcomersOnly || !known.has(p.id))
    .map((p) => {
      const joined: What = { kind: 'plan', seq: after.seq, departed: true };
      return newNotice(after.id, p.id, is && !known.has(p.id) ? joined : about, nowMs);
    });
}

function sameTimes(before: TripState, after: TripState): boolean {
  const key = ({ watch }: TripState) =>
    JSON.stringify([
      watch.plan.downMs,
      watch.plan.calloutMs,
      watch.nightly?.clock,
      watch.promises.map((p) => [p.id, p.dueMs]),
    ]);
  return key(before) === key(after);
}
