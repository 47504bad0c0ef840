import { ENGLISH, type Words } from '../../say/contact/words.ts';
import type { Button, InstantPiece, Line, Piece } from '../../say/reply.ts';
import { dayClock, duration } from '../../time/format.ts';
import { whoWords } from '../../trip/kinds/trouble.ts';
import { heardOfParts, isSplit } from '../../trip/parts.ts';
import type { TripState } from '../../trip/state.ts';
import type { AlarmPhase, Sign } from '../../trip/watch-state.ts';
import { emergencyNumbers } from '../emergency.ts';
import { type Expectation, lastSign, unmet } from '../expectations.ts';
import { phaseTimes, rankOf } from '../ladder.ts';
import { heardWords } from './mode.ts';

/** An instant in the wall's time. */
export function at(state: TripState, atMs: number, nowMs: number): InstantPiece {
  return { text: dayClock(state.zone, atMs, nowMs), atMs };
}

/** What was expected, as words that a time follows: `top-out by `, `the nightly check-in of Jonas at `. */
export function expected(e: Pick<Expectation, 'kind' | 'about' | 'of'>): string {
  const about = e.about === undefined ? '' : ` (${e.about})`;
  const of = e.of === undefined ? '' : ` of ${e.of}`;
  switch (e.kind) {
    case 'checkin':
      return `a check-in${of}${about} at `;
    case 'nightly':
      return `the nightly check-in${of} at `;
    case 'topout':
      return 'top-out by ';
    case 'down':
      return 'everyone down by ';
    case 'callout':
      return 'everyone down by the call-out time ';
    case 'again':
      return 'a word, or new times, by ';
    case 'silence':
      return 'any word at all by ';
    case 'trouble':
      return 'the end of the trouble told at ';
  }
}

/** Last sign of life with its time, source and how late it was told; of each part where the party has split. */
export function lastHeard(state: TripState, nowMs: number): Line {
  if (isSplit(state)) {
    return heardOfParts(state).flatMap(({ who, sign }, i): Piece[] => [
      `${i === 0 ? '' : ' '}${whoWords(state, who)}: `,
      ...heardPieces(state, sign, nowMs),
    ]);
  }
  return heardPieces(state, lastSign(state), nowMs);
}

function heardPieces(state: TripState, sign: Sign | undefined, nowMs: number): Piece[] {
  if (sign === undefined) return ['Nothing was heard yet.'];
  const late = sign.recordedAtMs - sign.atMs >= 60_000;
  const pieces: Piece[] = ['Last heard ', at(state, sign.atMs, nowMs)];
  const ago = Math.max(0, (nowMs - sign.atMs) / 60_000);
  pieces.push(`, ${duration(ago)} ago: ${heardWords(state, sign, nowMs)} (from ${sign.by.name}`);
  if (late) pieces.push(', told ', at(state, sign.recordedAtMs, nowMs));
  pieces.push(').');
  return pieces;
}

/** The number to call, or how to name it when none was given. */
export function emergency(state: TripState): string {
  const { local, direct } = emergencyNumbers(state.emergencyNumber);
  if (local === undefined && direct === undefined) return 'your local emergency number';
  if (local === undefined) return `the rescue service, ${direct}`;
  if (direct === undefined) return `the emergency number ${local}`;
  return `the emergency number ${local} (from elsewhere ${direct})`;
}

/** The caution that goes with every alarm. */
export function notARescue(): string {
  return ENGLISH.text('rescue.note');
}

/** The next higher phase than this, when it comes if nothing is heard, and who is told then. */
export function nextPhaseAt(
  state: TripState,
  phase: AlarmPhase | undefined,
  group?: string,
): { atMs: number; phase: AlarmPhase; groups: string[] } | undefined {
  const ahead = phaseTimes(state)
    .filter((r) => rankOf(r.phase) > rankOf(phase) && (group === undefined || r.group === group))
    .sort((a, b) => a.atMs - b.atMs || rankOf(a.phase) - rankOf(b.phase));
  const [first] = ahead;
  if (first === undefined) return undefined;
  const here = ahead.filter((r) => r.atMs === first.atMs && r.phase === first.phase);
  return { atMs: first.atMs, phase: first.phase, groups: here.map((r) => r.group) };
}

/** The call-out time still ahead or just past, if one is agreed and open. */
export function calloutMs(state: TripState): number | undefined {
  return unmet(state).find((e) => e.kind === 'callout')?.dueMs;
}

/** Takes an alarm in hand; `seq` is the entry that raised it. */
export function ackButton(seq: number, w: Words = ENGLISH): Button {
  return {
    label: w.text('button.ack'),
    tone: 'main',
    press: { path: 'overdue ack', options: { alarm: seq } },
  };
}

/** Says that the party is well; `seq` is the entry that raised the alarm. */
export function fineButton(seq: number, w: Words = ENGLISH): Button {
  return {
    label: w.text('button.fine'),
    press: { path: 'overdue resolve', options: { how: 'fine', alarm: seq } },
  };
}
/** Says that the rescue service was called; `seq` is the entry that raised the alarm. */
export function calledButton(seq: number, w: Words = ENGLISH): Button {
  return {
    label: w.text('button.called'),
    tone: 'danger',
    press: { path: 'overdue resolve', options: { how: 'called', alarm: seq } },
  };
}
/** Says that the rescue service was told; `seq` is the entry of the call-out. */
export function stoodDownButton(seq: number, w: Words = ENGLISH): Button {
  return {
    label: w.text('button.stoodDown'),
    tone: 'main',
    press: { path: 'overdue resolve', options: { how: 'stood-down', alarm: seq } },
  };
}
/** Opens the sheet. */
export function sheetButton(w: Words = ENGLISH): Button {
  return { label: w.text('button.sheet'), press: { path: 'overdue sheet', options: {} } };
}
