import { nightSpans, toppedOutMs, waitSpans } from './mode.ts';
import { nameOf, type PitchState, personById, type TripState } from './state.ts';
import { frontTopMs, ropesOf, toldRopes } from './two-ropes.ts';

/** A stretch of time, epoch milliseconds. */
interface Span {
  fromMs: number;
  toMs: number;
}

/** How one pitch went, as told. Minutes are without nights, waits and breaks; unknown ones are left out. */
export interface PitchTaken {
  pitch: number;
  /** First pitch of a stretch that was told done in one go; the figures are the stretch's and stand at its last. */
  from?: number;
  leader?: string;
  doneMs?: number;
  /** From the start to the line fixed. */
  leadMin?: number;
  /** From the line fixed to done: following, cleaning, hauling. */
  followMin?: number;
  /** From the start to done. */
  tookMin?: number;
  /** From done to the start of the next, where that was told. */
  changeoverMin?: number;
  /** By the frozen schedule, epoch milliseconds. */
  plannedMs?: number;
}

/** Where a trip's time went, minutes. What was not told is left out and is part of `untold`. */
export interface Spent {
  approach: number;
  leading: number;
  following: number;
  /** Pitches of which only the whole is known. */
  pitches: number;
  changeovers: number;
  nights: number;
  waiting: number;
  retreating: number;
  /** From the rope in front on top to the last one up. */
  lastRope: number;
  wayDown: number;
  untold: number;
}

/** What a trip's posts say of how it went. */
export interface Debrief {
  /** From the departure, or the first mark, to everyone down, or the end asked for. */
  fromMs: number;
  toMs: number;
  toppedMs?: number;
  pitches: PitchTaken[];
  spent: Spent;
  /**
   * Minutes at hanging stances by climber, longest first; nights, waits and breaks don't count. At most:
   * where nobody told when a line was fixed, the second counts as hanging until the pitch was done.
   */
  hung: { name: string; min: number; atMost: boolean }[];
}

/**
 * Reads a trip's posts as a whole, for looking back.
 *
 * @param endMs what is not over by then ends there, epoch milliseconds
 * @returns undefined when no pitch was told of
 */
export function debriefOf(state: TripState, endMs: number): Debrief | undefined {
  const marks = state.pitches.flatMap((p) => [p.started, p.fixed, p.done].flatMap((m) => m ?? []));
  if (marks.length === 0) return undefined;
  const firstMs = Math.min(...marks.map((m) => m.atMs));
  const fromMs = Math.min(state.departedAtMs ?? firstMs, firstMs);
  const toMs = state.downAtMs ?? endMs;
  const idle = idleSpans(state, toMs);
  const pitches = state.pitches.map((_, i) => takenOf(state, i, idle.all));
  const toppedMs = toppedOutMs(state);
  const spent = spentOf(state, { fromMs, toMs, firstMs, toppedMs, idle, pitches });
  return {
    ...{ fromMs, toMs, pitches, spent, hung: hungOf(state, idle.all) },
    ...(toppedMs === undefined ? {} : { toppedMs }),
  };
}

/** Times in which nobody climbed, by what they were. */
interface Idle {
  nights: Span[];
  waits: Span[];
  retreats: Span[];
  breaks: Span[];
  all: Span[];
}

function idleSpans(state: TripState, toMs: number): Idle {
  const nights = nightSpans(state, toMs);
  const waits = waitSpans(state, toMs);
  const retreats = state.retreats.map((r) => ({ fromMs: r.sinceMs, toMs: r.stoppedMs ?? toMs }));
  const breaks = state.breaks.map(({ fromMs, toMs: end }) => ({ fromMs, toMs: end }));
  return { nights, waits, retreats, breaks, all: [...nights, ...waits, ...retreats, ...breaks] };
}

/** Minutes of `within` that the spans cover; what two of them cover counts once. */
function covered(spans: readonly Span[], within: Span): number {
  const cut = spans
    .map((s) => ({
      fromMs: Math.max(s.fromMs, within.fromMs),
      toMs: Math.min(s.toMs, within.toMs),
    }))
    .filter((s) => s.toMs > s.fromMs)
    .sort((a, b) => a.fromMs - b.fromMs);
  let [sum, upTo] = [0, Number.NEGATIVE_INFINITY];
  for (const { fromMs, toMs } of cut) {
    sum += Math.max(0, toMs - Math.max(fromMs, upTo));
    upTo = Math.max(upTo, toMs);
  }
  return sum / 60_000;
}

/** Minutes between two moments without the idle ones; undefined when one of them isn't known. */
function worked(fromMs: number | undefined, toMs: number | undefined, idle: readonly Span[]) {
  if (fromMs === undefined || toMs === undefined || toMs < fromMs) return undefined;
  return (toMs - fromMs) / 60_000 - covered(idle, { fromMs, toMs });
}

const known = (mark: PitchState['done']) =>
  mark === undefined || mark.timeUnknown === true ? undefined : mark.atMs;

function takenOf(state: TripState, i: number, idle: readonly Span[]): PitchTaken {
  const pitch = state.pitches[i] as PitchState;
  const [doneMs, fixedMs] = [known(pitch.done), known(pitch.fixed)];
  if (doneMs !== undefined && known(state.pitches[i + 1]?.done) === doneMs) {
    return { pitch: pitch.number };
  }
  let first = i;
  while (doneMs !== undefined && known(state.pitches[first - 1]?.done) === doneMs) first--;
  const beginMs = known(state.pitches[first]?.started) ?? known(state.pitches[first - 1]?.done);
  const leader = pitch.done?.leader ?? pitch.fixed?.leader ?? pitch.started?.leader;
  const planned = state.schedule?.checkpoints.find((c) => c.pitch === pitch.number)?.plannedMs;
  const split = fixedMs !== undefined && (doneMs === undefined || fixedMs <= doneMs);
  const nextStart = known(state.pitches[i + 1]?.started);
  return defined({
    pitch: pitch.number,
    from: first === i ? undefined : first + 1,
    leader,
    doneMs,
    leadMin: split ? worked(beginMs, fixedMs, idle) : undefined,
    followMin: split ? worked(fixedMs, doneMs, idle) : undefined,
    tookMin: worked(beginMs, doneMs, idle),
    changeoverMin: worked(doneMs, nextStart, idle),
    plannedMs: planned,
  });
}

type Defined<T> = { [K in keyof T]: Exclude<T[K], undefined> };

function defined<T extends object>(value: T): Partial<Defined<T>> & { pitch: number } {
  const entries = Object.entries(value).filter(([, v]) => v !== undefined);
  return Object.fromEntries(entries) as Partial<Defined<T>> & { pitch: number };
}

interface Whole {
  fromMs: number;
  toMs: number;
  firstMs: number;
  toppedMs: number | undefined;
  idle: Idle;
  pitches: readonly PitchTaken[];
}

function spentOf(state: TripState, whole: Whole): Spent {
  const { fromMs, toMs, firstMs, toppedMs, idle, pitches } = whole;
  const trip = { fromMs, toMs };
  const sum = (of: (p: PitchTaken) => number | undefined) =>
    pitches.reduce((total, p) => total + (of(p) ?? 0), 0);
  const nights = covered(idle.nights, trip);
  const waiting = covered([...idle.nights, ...idle.waits, ...idle.breaks], trip) - nights;
  const spent = {
    approach: state.departedAtMs === undefined ? 0 : (worked(fromMs, firstMs, idle.all) ?? 0),
    leading: sum((p) => p.leadMin),
    following: sum((p) => p.followMin),
    pitches: sum((p) => (p.leadMin === undefined ? p.tookMin : undefined)),
    changeovers: sum((p) => p.changeoverMin),
    nights,
    waiting,
    retreating: covered(idle.all, trip) - nights - waiting,
    lastRope: worked(frontTopMs(state), toppedMs, idle.all) ?? 0,
    wayDown: toppedMs === undefined ? 0 : (worked(toppedMs, toMs, idle.all) ?? 0),
  };
  const told = Object.values(spent).reduce((a, b) => a + b, 0);
  return { ...spent, untold: Math.max(0, (toMs - fromMs) / 60_000 - told) };
}

/**
 * Who hung how long at hanging stances, from the told times: a leader from the line fixed, the others
 * from the pitch done; whoever leads on leaves at its start, the others when its line is fixed.
 */
function hungOf(state: TripState, idle: readonly Span[]): Debrief['hung'] {
  const min = new Map<string, number>();
  const loose = new Set<string>();
  // The times told are those of the rope in front.
  const behind = new Set(toldRopes(state) ? ropesOf(state).slice(1).flat() : []);
  for (const [i, pitch] of state.pitches.entries()) {
    const next = state.pitches[i + 1];
    const done = known(pitch.done);
    if (pitch.stance !== 'hanging' || next === undefined || done === undefined) continue;
    const climbers = state.people.filter(
      (p) => p.hasClimbed === true && p.joinedAtMs <= done && !behind.has(p.id),
    );
    for (const { id } of climbers) {
      const from = pitch.done?.leader === id ? (known(pitch.fixed) ?? done) : done;
      const leads = (next.done ?? next.fixed ?? next.started)?.leader === id;
      const until = leads ? (known(next.started) ?? done) : (known(next.fixed) ?? known(next.done));
      const hung = worked(from, until, idle);
      if (hung === undefined) continue;
      min.set(id, (min.get(id) ?? 0) + hung);
      if (!leads && known(next.fixed) === undefined) loose.add(id);
    }
  }
  return [...min]
    .filter(([id, m]) => m >= 1 && personById(state, id) !== undefined)
    .map(([id, m]) => ({ name: nameOf(state, id), min: m, atMost: loose.has(id) }))
    .sort((a, b) => b.min - a.min);
}
