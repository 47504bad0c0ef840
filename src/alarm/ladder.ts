import type { Trouble } from '../trip/kinds/trouble.ts';
import type { Person } from '../trip/people.ts';
import type { TripState } from '../trip/state.ts';
import type { AlarmPhase, Raised } from '../trip/watch-state.ts';
import { type Expectation, isAbout, unmet } from './expectations.ts';
import { FIELD, reachable, unanswered } from './who.ts';

const MINUTE_MS = 60_000;
/** Longest wait for the next word of a party that copes with trouble. Engineering choice. */
export const TROUBLE_SILENCE_MIN = 120;

/** The phases, mildest first. */
export const PHASES: readonly AlarmPhase[] = ['due', 'uncertainty', 'alert', 'distress'];
/** The place of a phase among `PHASES`, from 0; −1 for none. */
export const rankOf = (phase: AlarmPhase | undefined): number =>
  phase === undefined ? -1 : PHASES.indexOf(phase);

/** When one group is to be told of one phase. `root` is what was not heard; `atMs` is epoch milliseconds. */
export interface PhaseTime {
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
 * Who is told of which phase, and how long after the time promised. The channel hears every phase. The
 * first contact hears from uncertainty on, and every further contact from alert on. ICAO Annex 12 has
 * the order: inquire, then extend the inquiries and alert, then act. Where nobody at home has agreed to be
 * contact, those who were asked and kept silent hear of distress, once: a life may hang on it.
 */
function groups(state: TripState): Group[] {
  const { delays, delaysOf } = state.watch;
  const [first] = reachable(state);
  const silent = first === undefined ? lastResort(state) : [];
  return [
    { id: FIELD, phases: PHASES, ...delays },
    ...reachable(state).map((person) => ({
      id: person.id,
      phases: person === first ? PHASES.slice(1) : PHASES.slice(2),
      ...delays,
      ...delaysOf.get(person.id),
    })),
    ...silent.map(({ id }): Group => ({ id, phases: ['distress'], ...delays })),
  ];
}

/** So many of those who did not answer are told at distress. */
const LAST_RESORT = 2;

/** Who is told of distress though they never agreed: asked, without an answer, and not told before. */
function lastResort(state: TripState): { id: string }[] {
  const now = new Set(standing(state).map((r) => r.seq));
  const before = state.watch.raised.filter((r) => !now.has(r.seq));
  return unanswered(state)
    .filter(({ id }) => !before.some((r) => r.to.includes(id)))
    .slice(0, LAST_RESORT);
}

/**
 * When each group is to be told of each phase, for every expectation that is open. A phase's delay
 * counts from the time promised (ICAO Annex 11, 5.2.1: from the time a word should have been received).
 * Distress comes at the agreed call-out time, or where none stands, after a long silence.
 */
export function phaseTimes(state: TripState): PhaseTime[] {
  const open = unmet(state);
  return groups(state).flatMap((group) =>
    open.flatMap((root) =>
      group.phases.flatMap((phase): PhaseTime[] => {
        if (root.trouble !== undefined) return troubleTimes(group, phase, root, root.trouble);
        if (isCallout(root) !== (phase === 'distress')) return [];
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

/**
 * Trouble is told at once. A call-out that is wanted is distress; who copes is an alert, and distress
 * when nothing more is heard for as long as an inquiry may take.
 */
function troubleTimes(
  group: Group,
  phase: AlarmPhase,
  root: Expectation,
  trouble: Trouble,
): PhaseTime[] {
  const time = (atMs: number): PhaseTime[] => [{ group: group.id, phase, atMs, root }];
  if (phase === 'alert') return time(trouble.toldMs);
  if (phase !== 'distress') return [];
  return time(trouble.calloutMs ?? trouble.lastWordMs + TROUBLE_SILENCE_MIN * MINUTE_MS);
}

/** Whether a rescue service is to be called when this passes. */
export function isCallout({ kind }: Pick<Expectation, 'kind'>): boolean {
  return kind === 'callout' || kind === 'silence';
}

/** Phases that were told and are still true: what they were about is still not heard. */
export function standing(state: TripState): Raised[] {
  if (state.watch.raised.length === 0) return [];
  const open = unmet(state);
  return state.watch.raised.filter((r) => open.some((e) => isAbout(r, e)));
}

/** The groups a phase was told to. It includes those who were told instead of somebody unreachable. */
export function toldOf(state: TripState, raised: Raised): string[] {
  const instead = state.watch.unreached.flatMap((u) =>
    u.raised === raised.seq && u.next !== undefined ? [u.next] : [],
  );
  return [...new Set([...raised.to, ...instead])];
}

/** By group, the highest standing phase it has been told of; the newest where two are as high. */
export function reached(state: TripState): Map<string, Raised> {
  const best = new Map<string, Raised>();
  for (const raised of standing(state)) {
    for (const group of toldOf(state, raised)) {
      if (rankOf(raised.phase) >= rankOf(best.get(group)?.phase)) best.set(group, raised);
    }
  }
  return best;
}

/** The contacts who were told of this phase or of something as grave that stands, by whichever entry. */
export function sharing(state: TripState, { phase }: Pick<Raised, 'phase'>): Person[] {
  const top = reached(state);
  const here = [...reachable(state), ...unanswered(state)];
  return here.filter((p) => rankOf(top.get(p.id)?.phase) >= rankOf(phase));
}

/** The highest standing phase of the trip; undefined when none stands. */
export function phaseNow(state: TripState): Raised | undefined {
  return standing(state).reduce<Raised | undefined>(
    (best, r) => (rankOf(r.phase) > rankOf(best?.phase) ? r : best),
    undefined,
  );
}

/** One phase to be told now, and the groups to be told. */
export interface PhaseToTell {
  phase: AlarmPhase;
  root: Expectation;
  /** When it ought to have been told, epoch milliseconds. */
  atMs: number;
  to: string[];
}

/**
 * The phases to be told at `nowMs`, lowest first; empty when there is nothing new. Each group hears the
 * highest phase whose time has come and that is news to it. After a long outage the phases in between
 * are passed over, so that nobody hears of three at once.
 */
export function phasesToTell(state: TripState, nowMs: number): PhaseToTell[] {
  const told = new Map<string, Raised[]>();
  for (const raised of standing(state)) {
    for (const group of toldOf(state, raised)) {
      told.set(group, [...(told.get(group) ?? []), raised]);
    }
  }
  const top = new Map<string, PhaseTime>();
  for (const step of phaseTimes(state)) {
    if (step.atMs > nowMs || told.get(step.group)?.some((r) => covers(r, step))) continue;
    const best = top.get(step.group);
    const higher = rankOf(step.phase) - rankOf(best?.phase);
    if (best === undefined || higher > 0 || (higher === 0 && step.atMs < best.atMs)) {
      top.set(step.group, step);
    }
  }
  return PHASES.flatMap((phase): PhaseToTell[] => {
    const here = [...top.values()].filter((r) => r.phase === phase);
    const roots = [...new Set(here.map((r) => `${r.root.key} ${r.root.dueMs}`))];
    return roots.flatMap((root): PhaseToTell[] => {
      const same = here.filter((r) => `${r.root.key} ${r.root.dueMs}` === root);
      const [first] = same.sort((a, b) => a.atMs - b.atMs);
      if (first === undefined) return [];
      return [{ phase, root: first.root, atMs: first.atMs, to: same.map((r) => r.group) }];
    });
  });
}

/** What was missed within this after something as high is one alarm with it. Engineering choice. */
const SAME_ALARM_MS = 12 * 60 * MINUTE_MS;

/**
 * Whether a group that was told of `raised` knows enough to be spared `step`: it was told of the same
 * thing, or of something higher, or of distress, or of something as high that was missed shortly before,
 * or after `step` had come already. Trouble is news whatever was told before.
 */
function covers(raised: Raised, step: PhaseTime): boolean {
  const asHigh = rankOf(raised.phase) >= rankOf(step.phase);
  if (isAbout(raised, step.root)) return asHigh;
  if (step.root.trouble !== undefined) return false;
  // What is milder than what stands would not be sent, so it doesn't stand in the record as told.
  if (raised.phase === 'distress' || rankOf(raised.phase) > rankOf(step.phase)) return true;
  const shortly = step.root.dueMs - raised.dueMs < SAME_ALARM_MS;
  return asHigh && (shortly || raised.atMs >= step.atMs);
}
