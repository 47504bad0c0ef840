import { copyOf } from './copy.ts';
import { effective, happenedBefore } from './effective.ts';
import type { Fact } from './fact.ts';
import { actOf } from './kinds/acts.ts';
import { kindOf } from './kinds/index.ts';
import { defaultSettings } from './settings.ts';
import { signsOf } from './signs.ts';
import type { LogEntry, TripState } from './state.ts';
import { blankWatch } from './watch-state.ts';

/** A record with what it folds to, ready for more facts to be folded on. None of it is changed afterwards. */
export interface Folded {
  trip: string;
  /** In order of telling. */
  history: readonly Fact[];
  state: TripState;
  /** What the plan and the people amount to before anything happened on the wall. */
  plan: TripState;
  /** What counts of the wall and changes the state, in the order it happened. */
  wall: readonly Fact[];
}

/**
 * The state that a trip's facts lead to. It depends on the set of facts only, not on their order in
 * `history`. The plan is read in the order of telling. The wall is read in the order of happening, so
 * that late, amended and struck posts land where they belong.
 */
export function fold(trip: string, history: readonly Fact[]): TripState {
  const { entries, facts } = effective(history);
  const state = withFacts(blank(trip), facts.filter(isTold));
  return finished(withFacts(state, facts.filter(isWall)), entries, undefined, facts);
}

/** The same, kept in a form that more facts can be folded on. */
export function folded(trip: string, history: readonly Fact[]): Folded {
  const { entries, facts } = effective(history);
  const plan = withFacts(blank(trip), facts.filter(isTold));
  const wall = facts.filter(isWall);
  const state = finished(withFacts(copyOf(plan), wall), entries, undefined, facts);
  return { trip, history, plan, wall, state };
}

/**
 * What a record amounts to with more facts: exactly what folding all of them from nothing gives. What happened
 * last on the wall is folded on. After a word on the plan, or on what happened earlier, the wall is read again;
 * after a strike or an amendment everything is.
 *
 * @param fresh told after all that is there, in order of telling
 */
export function foldOn(before: Folded, fresh: readonly Fact[]): Folded {
  const { trip } = before;
  const history = [...before.history, ...fresh];
  if (before.history.length === 0 || fresh.some(rewrites)) return folded(trip, history);
  const told = fresh.filter(isTold);
  const plan = told.length === 0 ? before.plan : withFacts(copyOf(before.plan), told);
  const later = fresh.filter(isWall).sort(happenedBefore);
  const [first, last] = [later[0], before.wall.at(-1)];
  const isNext = first === undefined || last === undefined || happenedBefore(last, first) < 0;
  const wall = later.length === 0 ? before.wall : [...before.wall, ...later];
  const inOrder = isNext ? wall : [...wall].sort(happenedBefore);
  const state =
    isNext && told.length === 0
      ? withFacts(copyOf(before.state), later)
      : withFacts(copyOf(plan), inOrder);
  const entries = [
    ...before.state.entries,
    ...fresh.map((event): LogEntry => ({ event, amendedBy: [] })),
  ];
  return {
    trip,
    history,
    plan,
    wall: inOrder,
    state: finished(state, entries, before.state, fresh),
  };
}

/** Whether a fact changes how earlier ones are read. */
function rewrites(fact: Fact): boolean {
  const does = actOf(fact)?.does;
  return does === 'strike' || does === 'amend';
}

function isTold({ kind }: Fact): boolean {
  return kindOf(kind).order === 'told';
}

/** Whether a fact happened on the wall, and changes more than that somebody was heard. */
function isWall({ kind }: Fact): boolean {
  const { order, fold: does } = kindOf(kind);
  return order === 'happened' && does !== undefined;
}

function withFacts(state: TripState, facts: readonly Fact[]): TripState {
  for (const fact of facts) kindOf(fact.kind).fold?.(state, fact);
  return state;
}

/** What the record as a whole shows, worked out when everything is folded. */
function finished(
  state: TripState,
  entries: LogEntry[],
  before: TripState | undefined,
  fresh: readonly Fact[],
): TripState {
  state.entries = entries;
  state.seq = entries.at(-1)?.event.seq ?? 0;
  state.watch.signs = signsOf(state, before, fresh);
  return state;
}

function blank(trip: string): TripState {
  return {
    id: trip,
    seq: 0,
    name: '',
    zone: 'UTC',
    place: {},
    units: 'm',
    confidence: 0.9,
    settings: defaultSettings(),
    openedAtMs: 0,
    openedBy: { id: '', name: '' },
    people: [],
    pitches: [],
    order: { rule: 'swing', people: [] },
    assigned: new Map(),
    ropes: [],
    ropeMarks: [],
    styles: new Map(),
    links: new Set(),
    breaks: [],
    cutoffs: [],
    bivyPlan: [],
    starts: new Map(),
    nights: [],
    rains: [],
    saidDry: [],
    weather: {},
    kit: new Map(),
    waits: [],
    retreats: [],
    partRetreats: [],
    splits: [],
    outSince: new Map(),
    descent: [],
    troubles: [],
    watch: blankWatch(),
    entries: [],
    clashes: [],
  };
}
