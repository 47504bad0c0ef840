import type { AlarmPhase, Raised } from '../../trip/watch-state.ts';

/**
 * How grave an alarm is, in words for whoever waits at home or sits on the wall. The terms of ICAO Annex 12
 * stand in the party's record and in the rescue service's file, and nowhere else.
 */
export const STEP: Readonly<Record<AlarmPhase, string>> = {
  due: 'a word is due',
  uncertainty: 'no word yet',
  alert: 'overdue',
  distress: 'time to call the rescue service',
};

/** What somebody was told, as it is said to the party: `Dana (that you are overdue)`. */
export const TOLD_OF: Readonly<Record<AlarmPhase, string>> = {
  due: 'that a word is due',
  uncertainty: 'that there is no word yet',
  alert: 'that you are overdue',
  distress: 'to call the rescue service',
};

/** How grave what stands is; trouble is no lateness. */
export function stepWords({ phase, root }: Pick<Raised, 'phase' | 'root'>): string {
  if (!root.startsWith('trouble:')) return STEP[phase];
  return phase === 'distress'
    ? 'trouble, time to call the rescue service'
    : 'trouble, and they cope';
}
