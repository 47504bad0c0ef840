/**
 * What ought to be heard from a party, and by when. Words of this folder:
 *
 * - expectation: something that ought to be heard by a time, because it was promised or agreed.
 * - phase: how serious silence has become: due, uncertainty, alert, distress (after ICAO Annex 12).
 * - group: who is told together: the field, or one contact.
 * - field: the party and its ground crew, who are told in the trip's channel.
 * - phase time: when one group is to be told of one phase. The ladder is all of them.
 * - standing: told, and what it is about is still not heard.
 * - notice: something to be told to somebody. Its words are made when it is sent.
 * - ask: a question to the party whether an agreed time still holds.
 * - way: how a person is reached: direct message or e-mail.
 * - sheet: what a contact reads to the rescue service.
 */
import { addLocalDays, firstInstantOf, localDay } from '../time/zone.ts';
import { onTheWall, openTroubles } from '../trip/conditions.ts';
import { type Trouble, whoWords } from '../trip/kinds/trouble.ts';
import { isPastTop } from '../trip/mode.ts';
import { isSplit, lastSignOf, partsOf, signOfAll } from '../trip/parts.ts';
import type { TripState } from '../trip/state.ts';
import type { CheckinPromise, Raised, Sign, WatchPlan } from '../trip/watch-state.ts';

const MINUTE_MS = 60_000;

/**
 * A sign of life within this much before a promised check-in keeps the promise; so does one that is
 * told after a time of the plan has passed and speaks of the hour before it. Engineering choice.
 */
export const EARLY_MS = 60 * MINUTE_MS;
/** Nights that are looked at ahead. Long before the last, silence alone has led to distress. */
const NIGHTS = 14;
/** Whoever settles within this before the nightly check-in has checked in. Engineering choice. */
const EVENING_MS = 4 * 60 * MINUTE_MS;
/** A party that has nothing else to keep is asked this long after its last word. Engineering choice. */
export const ASKED_AFTER_MS = 24 * 60 * MINUTE_MS;
/** Without a call-out time, distress comes this long after an alert. Engineering choice. */
export const SILENCE_MS = 4 * 60 * MINUTE_MS;
/** A night without an end that was told is taken to last this long. Engineering choice. */
const NIGHT_MS = 10 * 60 * MINUTE_MS;

/** Something that ought to be heard by `dueMs`, epoch milliseconds. `key` and `dueMs` together name it for ever. */
export interface Expectation {
  key: string;
  kind: 'checkin' | 'nightly' | 'topout' | 'down' | 'callout' | 'again' | 'silence' | 'trouble';
  dueMs: number;
  /** What the promise was about, as it was typed. */
  about?: string;
  /** Names of those who ought to be heard from, where it isn't the whole party. */
  of?: string;
  /** Their ids. */
  who?: readonly string[];
  /** The trouble whose end is still to be heard. */
  trouble?: Trouble;
}

/** The newest moment of which it is known that everybody up there was well; in a party in parts the oldest of theirs. */
export function lastSign(state: TripState): Sign | undefined {
  return signOfAll(state);
}

/** Whether silence counts: from the departure until everyone is down or the trip is closed. */
export function watched(state: TripState): boolean {
  return (
    state.departedAtMs !== undefined &&
    state.downAtMs === undefined &&
    state.closedAtMs === undefined
  );
}

/** What is unmet in a state never changes, and one post asks for it many times. */
const keptUnmet = new WeakMap<TripState, readonly Expectation[]>();

/**
 * What is still to be heard, by time. Whether it is late is for the clock to say. Nothing before the
 * departure, nothing once everyone is down, but trouble that stands.
 */
export function unmet(state: TripState): readonly Expectation[] {
  const known = keptUnmet.get(state);
  if (known !== undefined) return known;
  const found = findUnmet(state);
  keptUnmet.set(state, found);
  return found;
}

function findUnmet(state: TripState): Expectation[] {
  const troubles = troubleUnmet(state);
  if (!watched(state)) return troubles;
  const found = [
    ...state.watch.promises.flatMap((p) => promiseUnmet(state, p)),
    ...nightlyUnmet(state, wellUntilMs(state)),
    ...planUnmet(state),
  ];
  found.push(...again(state, found));
  found.push(...silence(state, found));
  found.push(...troubles);
  return found.sort((a, b) => a.dueMs - b.dueMs || a.key.localeCompare(b.key));
}

/** Whether this is what `raised`, a phase that was told, is about. */
export function isAbout(raised: Pick<Raised, 'root' | 'dueMs'>, e: Expectation): boolean {
  return e.key === raised.root && e.dueMs === raised.dueMs;
}

/** Until when it is known that all of them were well, and then for as long as a sign may come early. */
function wellUntilMs(state: TripState, who?: readonly string[]): number {
  return (signOfAll(state, who)?.atMs ?? 0) + EARLY_MS;
}

/** A promise is kept when everybody who made it was heard from; who is off the wall owes no word. */
function promiseUnmet(state: TripState, promise: CheckinPromise): Expectation[] {
  const { id, dueMs, about } = promise;
  const up = onTheWall(state).map((p) => p.id);
  const who = promise.who?.filter((each) => up.includes(each));
  if (who?.length === 0 || dueMs <= wellUntilMs(state, who)) return [];
  const missing = who ?? notHeard(state, dueMs);
  return [
    {
      ...{ key: `checkin:${id}`, kind: 'checkin', dueMs },
      ...(about === undefined ? {} : { about }),
      ...(missing === undefined ? {} : { of: whoWords(state, missing), who: missing }),
    },
  ];
}

/**
 * Of a party in parts, those who weren't heard from by `dueMs`; undefined where that is everybody.
 *
 * @param settled the part that climbs on has settled for that night
 */
function notHeard(state: TripState, dueMs: number, settled = false): readonly string[] | undefined {
  if (!isSplit(state)) return undefined;
  const up = onTheWall(state).map((p) => p.id);
  const abed = settled ? (partsOf(state)[0]?.who ?? []) : [];
  const missing = up.filter(
    (id) => !abed.includes(id) && (lastSignOf(state, id)?.atMs ?? 0) + EARLY_MS < dueMs,
  );
  return missing.length === up.length ? undefined : missing;
}

/**
 * Trouble stands until somebody says how they know that it is over: no sign of life ends it, nor does
 * the plan. It stands also for a party that never told of its departure, or was told to be down.
 */
function troubleUnmet(state: TripState): Expectation[] {
  if (state.closedAtMs !== undefined) return [];
  return openTroubles(state).map((trouble) => ({
    key: `trouble:${trouble.seq}`,
    kind: 'trouble',
    dueMs: trouble.toldMs,
    trouble,
  }));
}

/**
 * Every night that is still to be heard of, each for itself: a missed one doesn't hide the next. They
 * share a key, and their times tell them apart.
 */
function nightlyUnmet(state: TripState, wellUntilMs: number): Expectation[] {
  const { nightly } = state.watch;
  if (nightly === undefined) return [];
  const key = `nightly:${nightly.seq}`;
  const nights: Expectation[] = [];
  let afterMs = Math.max(wellUntilMs, nightly.sinceMs);
  for (let n = 0; n < NIGHTS; n++) {
    afterMs = nextNight(state.zone, nightly.clock, afterMs);
    const settled = settledFor(state, afterMs);
    const who = isSplit(state) ? notHeard(state, afterMs, settled) : undefined;
    if (settled ? (who ?? []).length === 0 : who?.length === 0) continue;
    const of = who === undefined ? {} : { of: whoWords(state, who), who };
    nights.push({ key, kind: 'nightly', dueMs: afterMs, ...of });
  }
  return nights;
}

/**
 * Whether the party settled in the evening before a nightly check-in and has not got up since: that
 * they told of it is the night's check-in.
 */
export function settledFor(state: TripState, dueMs: number): boolean {
  return state.nights.some(
    ({ sinceMs, leftMs = dueMs }) =>
      sinceMs <= dueMs && sinceMs >= dueMs - EVENING_MS && leftMs >= dueMs,
  );
}

/** The first instant after `afterMs` at which the wall's clock shows `clock`. */
export function nextNight(zone: string, clock: string, afterMs: number): number {
  const [hour = 0, minute = 0] = clock.split(':').map(Number);
  const today = localDay(zone, afterMs);
  for (let days = 0; ; days++) {
    const dueMs = firstInstantOf(zone, { ...addLocalDays(today, days), hour, minute });
    if (dueMs > afterMs) return dueMs;
  }
}

const PLAN: readonly [keyof WatchPlan, 'topout' | 'down' | 'callout'][] = [
  ['topoutMs', 'topout'],
  ['downMs', 'down'],
  ['calloutMs', 'callout'],
];

function planUnmet(state: TripState): Expectation[] {
  return PLAN.flatMap(([time, kind]): Expectation[] => {
    const dueMs = state.watch.plan[time];
    if (dueMs === undefined || excused(state, dueMs)) return [];
    if (kind === 'topout' && isPastTop(state)) return [];
    return [{ key: kind, kind, dueMs }];
  });
}

/** Late, but heard from since: told after the time, of the hour before it or later. */
function excused(state: TripState, dueMs: number): boolean {
  const since = state.watch.signs.filter(
    (s) => s.recordedAtMs >= dueMs && s.atMs >= dueMs - EARLY_MS,
  );
  if (since.length === 0) return false;
  return onTheWall(state).every((p) => since.some((s) => s.who?.includes(p.id) ?? true));
}

/**
 * A word after an agreed time excuses that time and asks for a new one. Until it comes, the party is
 * asked again as long after its last word as an alert takes; after a night, when it is over. A party
 * with nothing to keep is asked a day after its last word. Nothing of this where something else is
 * promised sooner.
 */
function again(state: TripState, others: readonly Expectation[]): Expectation[] {
  const lastMs = Math.max(lastSign(state)?.atMs ?? 0, state.departedAtMs ?? 0);
  const late = PLAN.some(([time, kind]) => {
    const dueMs = state.watch.plan[time];
    const over = kind === 'topout' && isPastTop(state);
    return dueMs !== undefined && !over && excused(state, dueMs);
  });
  if (!late && others.length > 0) return [];
  const askedMs = lastMs + (late ? state.watch.delays.alertMin * MINUTE_MS : ASKED_AFTER_MS);
  const morning = morningMs(state, lastMs);
  // Nobody's first word from us is to call the rescue service: before a call-out they are asked.
  const callout = others.some((e) => e.kind === 'callout' && e.dueMs <= morning);
  const dueMs = late && !callout ? Math.max(askedMs, morning) : askedMs;
  const sooner = others.some((e) => e.kind !== 'callout' && e.dueMs <= dueMs);
  return sooner ? [] : [{ key: 'again', kind: 'again', dueMs }];
}

/** An hour after the end of the night that was the last thing told; 0 when they are up. */
function morningMs(state: TripState, lastMs: number): number {
  const night = state.nights.at(-1);
  if (night === undefined || night.leftMs !== undefined || night.sinceMs < lastMs) return 0;
  const longestMs = night.sinceMs + NIGHT_MS;
  return Math.min(night.untilMs ?? longestMs, longestMs) + EARLY_MS;
}

/**
 * Where no call-out time is agreed, or a word after it has excused it, silence alone leads to distress
 * all the same: four hours after an alert about the first thing that is not heard.
 */
function silence(state: TripState, others: readonly Expectation[]): Expectation[] {
  if (others.length === 0 || others.some((e) => e.kind === 'callout')) return [];
  const firstMs = Math.min(...others.map((e) => e.dueMs));
  const dueMs = firstMs + state.watch.delays.alertMin * MINUTE_MS + SILENCE_MS;
  return [{ key: 'silence', kind: 'silence', dueMs }];
}
