import type { Line } from '../say/reply.ts';
import { openTroubles } from '../trip/conditions.ts';
import type { TripState } from '../trip/state.ts';
import type { PlanTime } from '../trip/watch-state.ts';
import { isAbout, nextNight, unmet, watched } from './expectations.ts';
import { phaseNow, standing } from './ladder.ts';
import { PLAN_LABEL } from './sheet-text.ts';
import { names, reachable } from './who.ts';
import { at } from './words/common.ts';

/**
 * What a change takes away from the watch over a party that is out, a line each; empty when nothing.
 * A word from the party and everyone being down are no weakening, whatever they end.
 */
export function weaker(before: TripState, after: TripState, nowMs: number): Line[] {
  if (!watched(before) && openTroubles(before).length === 0) return [];
  if (after.downAtMs !== undefined && before.downAtMs === undefined) return [];
  if (after.closedAtMs !== undefined)
    return ['The trip would be closed: nobody would be told if they are late.'];
  if (watched(before) && !watched(after)) {
    return ['The departure would be taken back: nobody would be told if they are late.'];
  }
  const lines = [
    ...timeLines(before, after, nowMs),
    ...nightlyLines(before, after, nowMs),
    ...promiseLines(before, after, nowMs),
    ...peopleLines(before, after),
    ...delayLines(before, after),
  ];
  return lines.length > 0 ? lines : endedLines(before, after);
}

/** Only a time that is still to be kept: one that a word has excused is to be agreed anew. */
function timeLines(before: TripState, after: TripState, nowMs: number): Line[] {
  return unmet(before).flatMap(({ kind, dueMs }): Line[] => {
    if (kind !== 'topout' && kind !== 'down' && kind !== 'callout') return [];
    const what: PlanTime = `${kind}Ms`;
    const toMs = after.watch.plan[what];
    const from = at(before, dueMs, nowMs);
    if (toMs === undefined) return [[`${PLAN_LABEL[what]} `, from, ' would be taken away.']];
    return toMs > dueMs
      ? [[`${PLAN_LABEL[what]} would move from `, from, ' to ', at(after, toMs, nowMs), '.']]
      : [];
  });
}

function nightlyLines(before: TripState, after: TripState, nowMs: number): Line[] {
  const [was, is] = [before.watch.nightly, after.watch.nightly];
  if (was === undefined) return [];
  if (is === undefined) return [`The nightly check-in at ${was.clock} would be taken away.`];
  const next = (clock: string) => nextNight(before.zone, clock, nowMs);
  return next(is.clock) > next(was.clock)
    ? [`The nightly check-in would move from ${was.clock} to ${is.clock}.`]
    : [];
}

function promiseLines(before: TripState, after: TripState, nowMs: number): Line[] {
  const kept = new Set(after.watch.promises.map((p) => `checkin:${p.id}`));
  return unmet(before)
    .filter((e) => e.kind === 'checkin' && !kept.has(e.key))
    .map((e): Line => ['The check-in ', at(before, e.dueMs, nowMs), ' would be taken away.']);
}

function peopleLines(before: TripState, after: TripState): Line[] {
  const [was, is] = [reachable(before), reachable(after)];
  const number = before.emergencyNumber;
  return [
    ...(was.length > 0 && is.length === 0
      ? [`${names(was)} could not be told any more, and nobody else at home could.`]
      : []),
    ...(number !== undefined && number !== after.emergencyNumber
      ? [`The emergency number would change from ${number} to ${after.emergencyNumber ?? 'none'}.`]
      : []),
  ];
}

function delayLines(before: TripState, after: TripState): Line[] {
  const [was, is] = [before.watch.delays, after.watch.delays];
  return [
    ...(is.uncertaintyMin > was.uncertaintyMin
      ? [
          `Contacts would be told ${is.uncertaintyMin} min after a missed time, not ${was.uncertaintyMin}.`,
        ]
      : []),
    ...(is.alertMin > was.alertMin
      ? [`It would be called overdue after ${is.alertMin} min, not ${was.alertMin}.`]
      : []),
  ];
}

/** An alarm that would end though nothing was heard. */
function endedLines(before: TripState, after: TripState): Line[] {
  const stood = standing(before);
  const heard = (state: TripState) => state.watch.signs.map((s) => `${s.seq} ${s.atMs}`).join();
  if (stood.length === 0 || heard(before) !== heard(after)) return [];
  if (openTroubles(after).length < openTroubles(before).length) return [];
  const open = unmet(after);
  return stood.some((r) => !open.some((e) => isAbout(r, e)))
    ? ['An alarm would end, though nobody was heard from.']
    : [];
}

/** Whether an alarm stands, be it only about to be told. */
export function alarmStands(state: TripState): boolean {
  return phaseNow(state) !== undefined || openTroubles(state).length > 0;
}

const SETS_TIMES: ReadonlySet<string> = new Set(['watch.planned', 'watch.nightly']);

/**
 * The newest entry that set a time or took one away, or that struck one of those. A button that names a time
 * belongs to the plan as it was then.
 */
export function planSeq({ entries }: Pick<TripState, 'entries'>): number {
  return entries.reduce((newest, { event, struckBy = 0 }) => {
    if (SETS_TIMES.has(event.kind)) return Math.max(newest, event.seq, struckBy);
    return event.kind === 'log.struck' ? Math.max(newest, struckBy) : newest;
  }, 0);
}
