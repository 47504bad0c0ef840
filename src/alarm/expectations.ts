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
import { openTroubles } from '../trip/conditions.ts';
import type { Trouble } from '../trip/kinds/trouble.ts';
import type { TripState } from '../trip/state.ts';
import type { Sign, WatchPlan } from '../trip/watch-state.ts';

const MINUTE_MS = 60_000;

/**
 * A sign of life within this much before a promised check-in keeps the promise; so does one that is
 * told after a time of the plan has passed and speaks of the hour before it. Engineering choice.
 */
export const EARLY_MS = 60 * MINUTE_MS;

/** Something that ought to be heard by `dueMs`, epoch milliseconds. `key` and `dueMs` together name it for ever. */
export interface Expectation {
  key: string;
  kind: 'checkin' | 'nightly' | 'topout' | 'down' | 'callout' | 'again' | 'trouble';
  dueMs: number;
  /** What the promise was about, as it was typed. */
  about?: string;
  /** The trouble whose end is still to be heard. */
  trouble?: Trouble;
}

/** The newest moment of which it is known that the party was well. */
export function lastSign(state: TripState): Sign | undefined {
  return state.watch.signs.at(-1);
}

/** Whether silence counts: from the departure until everyone is down or the trip is closed. */
export function watched(state: TripState): boolean {
  return (
    state.departedAtMs !== undefined &&
    state.downAtMs === undefined &&
    state.closedAtMs === undefined
  );
}

/**
 * What is still to be heard, by time. Whether it is late is for the clock to say. Nothing before the
 * departure, nothing once everyone is down.
 */
export function unmet(state: TripState): Expectation[] {
  const troubles = troubleUnmet(state);
  if (!watched(state)) return troubles;
  const wellUntilMs = (lastSign(state)?.atMs ?? 0) + EARLY_MS;
  const found = [
    ...state.watch.promises.flatMap((p): Expectation[] =>
      p.dueMs > wellUntilMs
        ? [{ key: `checkin:${p.id}`, kind: 'checkin', dueMs: p.dueMs, ...about(p.about) }]
        : [],
    ),
    ...nightlyUnmet(state, wellUntilMs),
    ...planUnmet(state),
  ];
  if (found.length === 0) found.push(...again(state));
  found.push(...troubles);
  return found.sort((a, b) => a.dueMs - b.dueMs || a.key.localeCompare(b.key));
}

function about(text: string | undefined): { about?: string } {
  return text === undefined ? {} : { about: text };
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

/** The first night that is still open; the ones after it wait for it. */
function nightlyUnmet(state: TripState, wellUntilMs: number): Expectation[] {
  const { nightly } = state.watch;
  if (nightly === undefined) return [];
  const dueMs = nextNight(state.zone, nightly.clock, Math.max(wellUntilMs, nightly.sinceMs));
  return [{ key: `nightly:${nightly.seq}`, kind: 'nightly', dueMs }];
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
    if (kind === 'topout' && state.phase === 'descending') return [];
    return [{ key: kind, kind, dueMs }];
  });
}

/** Late, but heard from since: told after the time, of the hour before it or later. */
function excused(state: TripState, dueMs: number): boolean {
  return state.watch.signs.some((s) => s.recordedAtMs >= dueMs && s.atMs >= dueMs - EARLY_MS);
}

/**
 * A party that was heard from after its last agreed time and hasn't agreed a new one is not let
 * drop: it is asked again as long after its last sign as an alert takes.
 */
function again(state: TripState): Expectation[] {
  const sign = lastSign(state);
  const late = PLAN.some(([time]) => {
    const dueMs = state.watch.plan[time];
    return dueMs !== undefined && excused(state, dueMs);
  });
  if (sign === undefined || !late) return [];
  const dueMs = sign.atMs + state.watch.delays.alertMin * MINUTE_MS;
  return [{ key: 'again', kind: 'again', dueMs }];
}
