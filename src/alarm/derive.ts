import type { NewNotice } from '../store/port.ts';
import { openTroubles } from '../trip/conditions.ts';
import type { Fact } from '../trip/fact.ts';
import { actOf } from '../trip/kinds/acts.ts';
import { personById, present, type TripState } from '../trip/state.ts';
import type { Raised } from '../trip/watch-state.ts';
import { type Deadline, deadlinesOf } from './deadlines.ts';
import { consents, invited, removed } from './derive-people.ts';
import { watched } from './expectations.ts';
import { phaseNow, reached, standing, toldOf } from './ladder.ts';
import { newNotice, noticeKey, type What } from './notice.ts';
import { agreed } from './repeats.ts';
import { contacts, FIELD, reachable, samePerson, told } from './who.ts';
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
  if (before === undefined) return { deadlines, notices: invited(change), cancelNotices: [] };
  const { notices, cancelNotices } = alarms(before, change);
  return {
    deadlines,
    notices: [
      ...notices,
      ...called(before, change),
      ...asked(before, change),
      ...stoodDown(before, change),
      ...removed(before, change, authorsOf(after, change.events)),
      ...drills(before, change),
      ...invited(change),
      ...consents(before, change),
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
  const authors = authorsOf(after, events);
  const why = reasonOf(before, after, events);
  const stood = new Set(standing(before).map((r) => r.seq));
  const notices: NewNotice[] = [];
  const cancelNotices: string[] = [];
  for (const [group, raised] of was) {
    if (is.has(group) || isBack(after, group, was, is)) continue;
    const about: What = { kind: 'ended', seq: after.seq, raised: raised.seq, why, ...authors };
    const told = newNotice(after.id, group, about, nowMs);
    // Who never agreed to be contact hears of an end once, however often it is taken back and told again.
    const once = { ...told, key: noticeKey(after.id, group, { ...about, seq: raised.seq }) };
    notices.push(agreed(after, group) ? told : once);
    cancelNotices.push(...keysOf(before, group));
  }
  for (const [group, raised] of is) {
    if (!agreed(after, group)) continue;
    // What they were told of last is gone, and something they know of still stands.
    if (stood.has(raised.seq)) {
      const knew = was.get(group);
      if (knew === undefined || knew.seq === raised.seq || knew.phase === raised.phase) continue;
      const about = {
        kind: 'ended',
        seq: after.seq,
        raised: knew.seq,
        why,
        ...authors,
        still: true,
      } as const;
      notices.push(newNotice(after.id, group, about, nowMs));
      continue;
    }
    // A struck sign of life brings the older, higher alarm back, though a lower one was raised since.
    if (was.get(group)?.seq === raised.seq) continue;
    const about: What = { kind: 'phase', raised: raised.seq, reopened: true };
    const more = { phase: raised.phase, key: `/${after.seq}` };
    notices.push(newNotice(after.id, group, about, nowMs, more));
  }
  const known = new Set(notices.map((n) => n.key));
  const others = troublesOver(before, { before, after, events, nowMs }).filter(
    (n) => !known.has(n.key),
  );
  return { notices: [...notices, ...others], cancelNotices };
}

/** Whether somebody off the roster was added anew and hears the same end as who they are now. */
function isBack(
  state: TripState,
  group: string,
  was: ReadonlyMap<string, Raised>,
  is: ReadonlyMap<string, Raised>,
): boolean {
  const gone = personById(state, group);
  if (gone?.leftAtMs === undefined) return false;
  return reachable(state).some((p) => was.has(p.id) && !is.has(p.id) && samePerson(state, gone, p));
}

/** A trouble that is over while something else stands: whoever was told of it hears that. */
function troublesOver(before: TripState, { after, events, nowMs }: WatchChange): NewNotice[] {
  const authors = authorsOf(after, events);
  const is = reached(after);
  return openTroubles(before).flatMap(({ seq }) => {
    if (after.troubles.find((t) => t.seq === seq)?.over === undefined) return [];
    const told = before.watch.raised.filter((r) => r.root === `trouble:${seq}`);
    const groups = new Set(told.flatMap((r) => toldOf(before, r)));
    return [...groups].flatMap((group) => {
      const raised = told.at(-1)?.seq;
      if (raised === undefined || !is.has(group)) return [];
      const about = {
        kind: 'ended',
        seq: after.seq,
        raised,
        why: 'over',
        ...authors,
        still: true,
      } as const;
      return newNotice(after.id, group, about, nowMs);
    });
  });
}

/** Keys of everything a group may still have pending about the alarm. */
function keysOf(state: TripState, group: string): string[] {
  return state.watch.raised
    .filter((r: Raised) => r.to.includes(group))
    .map((r) => noticeKey(state.id, group, { kind: 'phase', raised: r.seq }));
}

function reasonOf(before: TripState, after: TripState, events: readonly Fact[]): EndedWhy {
  if (after.downAtMs !== undefined && before.downAtMs === undefined) return 'down';
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
  const caller = present(after).find((p) => told(after, p, call.by))?.id;
  return [...reached(after).keys()]
    .filter((group) => group !== caller && agreed(after, group))
    .map((group) => newNotice(after.id, group, { kind: 'called', seq: call.seq }, nowMs));
}

/** While an alarm stands a second person has to agree: whoever was told of it is asked. */
function asked(before: TripState, { after, nowMs }: WatchChange): NewNotice[] {
  const one = after.watch.asked.at(-1);
  if (one === undefined || one.seq <= before.seq || phaseNow(before) === undefined) return [];
  const asker = present(after).find((p) => told(after, p, one.by))?.id;
  return [...reached(after).keys()]
    .filter((group) => group !== asker && agreed(after, group))
    .map((group) => newNotice(after.id, group, { kind: 'asked', seq: one.seq }, nowMs));
}

function stoodDown(before: TripState, { after, nowMs }: WatchChange): NewNotice[] {
  const done = after.watch.stoodDown.at(-1);
  if (done === undefined || done.seq <= before.seq) return [];
  return [FIELD, ...reachable(after).map((p) => p.id)].map((to) =>
    newNotice(after.id, to, { kind: 'stooddown', seq: done.seq }, nowMs),
  );
}

/** Who changed it; both, where one asked and another agreed. */
function authorsOf({ watch }: TripState, events: readonly Fact[]): { by: string; asker?: string } {
  const by = events[0]?.by.name ?? '';
  const agreed = watch.agreed.findLast((a) => a.seq === events[0]?.seq);
  const asker = watch.asked.find((a) => a.seq === agreed?.asked)?.by.name;
  return { by, ...(asker === undefined || asker === by ? {} : { asker }) };
}

function drills(before: TripState, { after, nowMs }: WatchChange): NewNotice[] {
  return after.watch.drills
    .filter((drill) => drill.seq > before.seq)
    .map(({ to, seq }) => newNotice(after.id, to, { kind: 'drill', seq }, nowMs));
}

/** Contacts hear of the departure, of every moved time, and of the end: each with a calendar file. */
function times(before: TripState, { after, events, nowMs }: WatchChange): NewNotice[] {
  const [was, is] = [watched(before), watched(after)];
  if (!was && !is) return [];
  const about: What = !is
    ? { kind: 'over', seq: after.seq }
    : {
        kind: 'plan',
        seq: before.seq + 1,
        departed: !was,
        ...(before.downAtMs === undefined ? {} : { upAgain: true }),
      };
  const known = new Set(reachable(before).map((p) => p.id));
  // A contact who joins while the party is on the wall has not heard of the departure.
  const newcomersOnly = was && is && sameTimes(before, after);
  const inChannel =
    is === sameTimes(before, after) || alarmEnds(before, after) || !fromHome(after, events)
      ? []
      : [newNotice(after.id, FIELD, about, nowMs)];
  const people = reachable(after)
    .filter((p) => !newcomersOnly || !known.has(p.id))
    .map((p) => {
      const joined: What = { kind: 'plan', seq: before.seq + 1, departed: true };
      return newNotice(after.id, p.id, is && !known.has(p.id) ? joined : about, nowMs);
    });
  return [...people, ...inChannel];
}

/** Whether the channel hears of the change as the end of an alarm. */
function alarmEnds(before: TripState, after: TripState): boolean {
  return reached(before).has(FIELD) && !reached(after).has(FIELD);
}

/** Whether a contact did it who is neither of the party nor of the ground crew: seldom in the channel. */
function fromHome(after: TripState, events: readonly Fact[]): boolean {
  const by = events[0]?.by;
  return (
    by !== undefined && contacts(after).some((p) => p.roles.length === 1 && told(after, p, by))
  );
}

function sameTimes(before: TripState, after: TripState): boolean {
  const key = ({ watch, emergencyNumber }: TripState) =>
    JSON.stringify([
      emergencyNumber,
      watch.plan.downMs,
      watch.plan.calloutMs,
      watch.nightly?.clock,
      watch.promises.map((p) => [p.id, p.dueMs]),
    ]);
  return key(before) === key(after);
}
