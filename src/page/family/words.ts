import { lastSign, unmet, watched } from '../../alarm/expectations.ts';
import { phaseNow, reached } from '../../alarm/ladder.ts';
import { acked } from '../../alarm/repeats.ts';
import { FIELD, names } from '../../alarm/who.ts';
import { at, expected } from '../../alarm/words/common.ts';
import type { Line } from '../../say/reply.ts';
import { duration } from '../../time/format.ts';
import { isOver } from '../../trip/mode.ts';
import { nameOf, type TripState } from '../../trip/state.ts';
import { calledOut } from '../server/steps.ts';

/** What climbers call things, for who doesn't climb. */
export const TERMS =
  'A pitch is one stretch of the wall, about as long as a rope; they climb them one after another. Times further ahead are a forecast and may well move; the cautious one holds 9 times in 10. A later one is no alarm.';

/** When they were heard last, and when they mean to be heard next. */
export function heardLines(state: TripState, nowMs: number): Line[] {
  return [...lastLine(state, nowMs), ...nextLine(state, nowMs)];
}

function lastLine(state: TripState, nowMs: number): Line[] {
  if (isOver(state) || state.departedAtMs === undefined) return [];
  const sign = lastSign(state);
  if (sign === undefined) return ['Nothing was heard from them yet.'];
  const ago = duration(Math.max(0, (nowMs - sign.atMs) / 60_000));
  return [['Last heard from them ', at(state, sign.atMs, nowMs), `, ${ago} ago.`]];
}

function nextLine(state: TripState, nowMs: number): Line[] {
  if (isOver(state)) return ['Nothing is waited for any more.'];
  if (!watched(state)) return ['They have not left yet, so nothing is waited for.'];
  const [next] = unmet(state);
  if (next === undefined) return ['They have promised no time for their next word.'];
  // What is open of a trouble stands above.
  if (next.kind === 'trouble') return [];
  const late = next.dueMs < nowMs;
  return [
    [
      late ? 'They should have been heard from: ' : 'They mean to be heard from next: ',
      expected(next),
      at(state, next.dueMs, nowMs),
      '.',
    ],
  ];
}

/** What stands and who acts; empty while all is as it should be. */
export function alarmLines(
  state: TripState,
  contacts: readonly { name: string }[],
  nowMs: number,
): { title: string; lines: Line[] } | undefined {
  const raised = phaseNow(state);
  if (raised === undefined) return undefined;
  const told = [...reached(state)].filter(([group]) => group !== FIELD);
  const inHand = told.filter(([group, r]) => acked(state, group, r, nowMs));
  const who = contacts.length === 0 ? 'the party’s contact at home' : names(contacts);
  const known: Line[] =
    told.length === 0
      ? []
      : [`Told at home: ${names(told.map(([group]) => ({ name: nameOf(state, group) })))}.`];
  const acts: Line[] =
    inHand.length === 0
      ? []
      : [`In hand with ${names(inHand.map(([group]) => ({ name: nameOf(state, group) })))}.`];
  const call = calledOut(state);
  const called: Line[] =
    call === undefined
      ? []
      : [['The rescue service was called, ', at(state, call.atMs, nowMs), `, by ${call.by.name}.`]];
  const grave = raised.phase === 'distress';
  const todo = todoWords(who, grave && call === undefined);
  const when = at(state, raised.dueMs, nowMs);
  if (raised.root.startsWith('trouble:')) {
    return {
      title: 'They have told of trouble',
      lines: [
        ['It was told ', when, '. Those at home and on the ground know what it is.'],
        ...[known, acts, called].flat(),
        todo,
      ],
    };
  }
  return {
    title: grave ? 'They are long overdue' : 'They are late',
    lines: [
      [
        'A word should have come by ',
        when,
        raised.phase === 'due' || raised.phase === 'uncertainty'
          ? '. Most often it is a slow pitch or a flat phone.'
          : '.',
      ],
      ...[known, acts, called].flat(),
      todo,
    ],
  };
}

function todoWords(who: string, unanswered: boolean): string {
  return unanswered
    ? `Ring ${who} now and ask who calls the rescue service. If you reach nobody, call your emergency number and say where the party is.`
    : `Ring ${who} before you do anything: they know what to do, and two people doing the same costs time.`;
}

/** What happens if they are not heard from, while they may still be. */
export function silentLine(contacts: readonly { name: string }[]): string {
  return contacts.length === 0
    ? 'Nobody at home has agreed to be told if they are late. Ask the party who it is to be.'
    : `If they are late, ${names(contacts)} ${contacts.length === 1 ? 'is told and knows' : 'are told and know'} what to do. You need not watch this page.`;
}
