import { clock, dayClock } from '../../time/format.ts';
import type { TripState } from '../state.ts';
import type { No } from './no.ts';
import { marks } from './phases.ts';

const MEND = 'If a time is wrong: /log show has its number for /pitch amend.';

/** A retreat begins at a pitch that there is, and nobody climbs on before it is told to have stopped. */
export function* retreatsHold(state: TripState): Generator<No> {
  for (const { fromPitch, seq } of [...state.retreats, ...state.partRetreats]) {
    if (fromPitch > state.pitches.length) {
      yield {
        rule: 'no-such-pitch',
        text: `There is no pitch ${fromPitch} to come down from; the topo has ${state.pitches.length}.`,
        ways: ['/topo show lists them.'],
        pitch: fromPitch,
        seq,
      };
    }
  }
  for (const { sinceMs, stoppedMs = Number.POSITIVE_INFINITY } of state.retreats) {
    for (const { pitch, name, mark } of marks(state)) {
      if (mark.atMs <= sinceMs || mark.atMs >= stoppedMs) continue;
      const since = dayClock(state.zone, sinceMs, mark.atMs);
      yield {
        rule: 'retreating',
        text: `The party has been coming down since ${since}, so pitch ${pitch} can't be ${name} at ${clock(state.zone, mark.atMs)}.`,
        ways: [
          'If you climb on again: /retreat stop, then post the pitch.',
          'If it was before the retreat: give its time, at:14:32.',
        ],
        pitch,
        seq: mark.seq,
      };
    }
  }
}

/** Once everyone is down there is no retreat, no way down and no wait left to tell of. */
export function* afterDown(state: TripState): Generator<No> {
  const { downAtMs, zone } = state;
  if (downAtMs === undefined) return;
  const told: readonly [what: string, atMs: number][] = [
    ...[...state.retreats, ...state.partRetreats].flatMap((r): [string, number][] => [
      ['A retreat began', r.sinceMs],
      ...r.rappels.map((x): [string, number] => ['A rappel was done', x.atMs]),
      ...(r.stoppedMs === undefined
        ? []
        : [['A retreat was stopped', r.stoppedMs] as [string, number]]),
    ]),
    ...state.descent.map((d): [string, number] => ['A point of the way down was reached', d.atMs]),
    ...state.waits.map((w): [string, number] => ['A wait began', w.sinceMs]),
  ];
  for (const [what, atMs] of told) {
    if (atMs <= downAtMs) continue;
    yield {
      rule: 'after-down',
      text: `${what} at ${dayClock(zone, atMs, downAtMs)}, after everyone was down at ${clock(zone, downAtMs)}.`,
      ways: [
        'If they are not down: /log show has the number of that entry for /pitch strike.',
        MEND,
      ],
    };
  }
}
