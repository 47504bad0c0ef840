import type { TripState } from '../trip/state.ts';
import type { AlarmPhase, Raised } from '../trip/watch-state.ts';
import { type Expectation, unmet } from './expectations.ts';
import { FIELD, reachable } from './who.ts';

const MINUTE_MS = 60_000;

/** The phases, mildest first. */
export const PHASES: readonly AlarmPhase[] = ['due', 'uncertainty', 'alert', 'distress'];
/** The place of a phase among `PHASES`, from 0; −1 for none. */
export const rankOf = (phase: AlarmPhase | undefined): number =>
  phase === undefined ? -1 : PHASES.indexOf(phase);

/** A rung of somebody's ladder: they are to be told of this phase at this time. */
export interface Rung {
  group: string;
  phase: AlarmPhase;
  atMs: number;
  root: Expectation;
}

interface Group {
  id: string;
  phases: readonly AlarmPhase[];
  uncertaintyMin: number;
  alertMin: number;
}

/**
 * Who is told of which phase, and how long after the time promised. The channel hears all; the first
 * contact from uncertainty on, calmly; every further contact from alert on. (ICAO Annex 12 has the
 * order: inquire, then extend the inquiries and alert, then act.)
 */
function groups(state: TripState): Group[] {
  const { delays, delaysOf } = state.watch;
  const [first] = reachable(state);
  return [
    { id: FIELD, phases: PHASES, ...delays },
    ...reachable(state).map((person) => ({
      id: person.id,
      phases: person === first ? PHASES.slice(1) : PHASES.slice(2),
      ...delays,
      ...delaysOf.get(person.id),
    })),
  ];
}

/**
 * When each group is to be told of each phase, from every expectation that is open. A phase's clock
 * runs from the time promised (ICAO Annex 11, 5.2.1: from the time a word should have been received);
 * distress has the agreed call-out time for its clock and nothing else.
 */
export function rungs(state: TripState): Rung[] {
  const open = unmet(state);
  return groups(state).flatMap((group) =>
    open.flatMap((root) =>
      group.phases.flatMap((phase): Rung[] => {
        if ((root.kind === 'callout') !== (phase === 'distress')) return [];
        const delayMin =
          phase === 'uncertainty'
            ? group.uncertaintyMin
            : phase === 'alert'
              ? Math.max(group.alertMin, group.uncertaintyMin)
              : 0;
        return [{ group: group.id, phase, atMs: root.dueMs + delayMin * MINUTE_MS, root }];
      }),
    ),
  );
}

/** Phases told and still true: what they were about is still to be heard. */
export function standing(state: TripState): Raised[] {
  const open = new Set(unmet(state).map((e) => `${e.key} ${e.dueMs}`));
  return state.watch.raised.filter((r) => open.has(`${r.root} ${r.dueMs}`));
}

/** Who a phase was told to, those who were told instead of somebody unreachable included. */
export function toldOf(state: TripState, raised: Raised): string[] {
  const instead = state.watch.unreached.flatMap((u) =>
    u.raised === raised.seq && u.next !== undefined ? [u.next] : [],
  );
  return [...new Set([...raised.to, ...instead])];
}

/** The highest standing phase each group has been told of. */
export function reached(state: TripState): Map<string, Raised> {
  const best = new Map<string, Raised>();
  for (const raised of standing(state)) {
    for (const group of toldOf(state, raised)) {
      if (rankOf(raised.phase) > rankOf(best.get(group)?.phase)) best.set(group, raised);
    }
  }
  return best;
}

/** The phase the trip is in now, as told. */
export function phaseNow(state: TripState): Raised | undefined {
  return standing(state).reduce<Raised | undefined>(
    (best, r) => (rankOf(r.phase) > rankOf(best?.phase) ? r : best),
    undefined,
  );
}

/** One phase to be told now, to these. */
export interface Rise {
  phase: AlarmPhase;
  root: Expectation;
  /** When it ought to have been told. */
  atMs: number;
  to: string[];
}

/**
 * What has to be told at `nowMs`: for each group the highest phase whose time has come, unless it was
 * told of it or of a higher one. After a long outage the steps in between are passed over, so nobody
 * hears of three phases in one breath. Lowest phase first; empty when there is nothing new.
 */
export function rises(state: TripState, nowMs: number): Rise[] {
  const told = reached(state);
  const top = new Map<string, Rung>();
  for (const rung of rungs(state)) {
    if (rung.atMs > nowMs || rankOf(rung.phase) <= rankOf(told.get(rung.group)?.phase)) continue;
    const best = top.get(rung.group);
    const higher = rankOf(rung.phase) - rankOf(best?.phase);
    if (best === undefined || higher > 0 || (higher === 0 && rung.atMs < best.atMs)) {
      top.set(rung.group, rung);
    }
  }
  return PHASES.flatMap((phase): Rise[] => {
    const here = [...top.values()].filter((r) => r.phase === phase);
    const [first] = here.sort((a, b) => a.atMs - b.atMs);
    if (first === undefined) return [];
    return [{ phase, root: first.root, atMs: first.atMs, to: here.map((r) => r.group) }];
  });
}
