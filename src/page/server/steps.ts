import { unmet, watched } from '../../alarm/expectations.ts';
import { PHASES, phaseNow, phaseTimes, rankOf } from '../../alarm/ladder.ts';
import { names, reachable } from '../../alarm/who.ts';
import { emergency, expected } from '../../alarm/words/common.ts';
import { calledOut } from '../../alarm/words/glance.ts';
import { dayClock } from '../../time/format.ts';
import { isOver } from '../../trip/mode.ts';
import type { TripState } from '../../trip/state.ts';
import type { AlarmPhase } from '../../trip/watch-state.ts';

/** Something for whoever waits at home to do, by a time. */
export interface Step {
  atMs: number;
  /** `20:30`. */
  at: string;
  words: string;
  /** Its time has come. */
  due: boolean;
}

const AFTER_THE_CALL =
  'the rescue service has been called. Keep your phone free, they may ring back, and the sheet at hand. If you hear from the party, tell the rescue service first.';

/**
 * What to do when, should nothing be heard: one step a phase, earliest first; what there is to do
 * once the rescue service has been called takes the place of them all.
 */
export function stepsOf(state: TripState, nowMs: number): Step[] {
  const called = calledOut(state);
  if (called !== undefined) {
    const at = dayClock(state.zone, called.atMs, nowMs);
    return [{ atMs: called.atMs, at, words: AFTER_THE_CALL, due: true }];
  }
  const all = phaseTimes(state);
  const now = rankOf(phaseNow(state)?.phase);
  return PHASES.flatMap((phase): Step[] => {
    const here = all.filter((r) => r.phase === phase);
    if (here.length === 0 || rankOf(phase) < now) return [];
    const atMs = Math.min(...here.map((r) => r.atMs));
    const at = dayClock(state.zone, atMs, nowMs);
    const silent = here.every((r) => r.root.kind === 'silence');
    const words = silent ? silenceWords(state) : wordsOf(state, phase);
    return [{ atMs, at, words, due: atMs <= nowMs }];
  }).sort((a, b) => a.atMs - b.atMs);
}

function wordsOf(state: TripState, phase: AlarmPhase): string {
  const [first, ...others] = reachable(state);
  const who = first === undefined ? 'the contact at home' : first.name;
  switch (phase) {
    case 'due':
      return 'the party and the ground crew are asked. Nothing for you to do yet: most often it is a slow pitch or a flat phone.';
    case 'uncertainty':
      return `tagline tells ${who}. Try to reach the party and the ground crew; ask whether their vehicle still stands there.`;
    case 'alert':
      return `tagline tells ${others.length === 0 ? who : names([{ name: who }, ...others])}. Try everyone once more, agree who does what, and have the sheet at hand.`;
    case 'distress':
      return `this is the call-out time. If nobody has been reached, call ${emergency(state)} and read out the sheet. Call sooner if you have reason to fear for them.`;
  }
}

function silenceWords(state: TripState): string {
  return `nothing was heard for too long, and no call-out time stands. If nobody has been reached, call ${emergency(state)} and read out the sheet. Call sooner if you have reason to fear for them.`;
}

/** The next word that is expected, or why none is. */
export function nextWord(state: TripState, nowMs: number): string {
  if (isOver(state)) {
    return 'Everyone is down. Nothing falls due any more.';
  }
  if (!watched(state)) return 'They have not departed yet, so nothing falls due.';
  const [next] = unmet(state);
  if (next === undefined) return 'No check-in is promised and no time is agreed.';
  const at = dayClock(state.zone, next.dueMs, nowMs);
  return next.dueMs < nowMs
    ? `Expected and not heard: ${expected(next)}${at}.`
    : `Expected next: ${expected(next)}${at}.`;
}
