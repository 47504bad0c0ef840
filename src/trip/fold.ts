import { copyOf } from './copy.ts';
import { effective, happenedBefore } from './effective.ts';
import type { Fact } from './fact.ts';
import { actOf } from './kinds/acts.ts';
import { kindOf } from './kinds/index.ts';
import { spokenOf } from './parts.ts';
import { defaultSettings } from './settings.ts';
import type { LogEntry, TripState } from './state.ts';
import { blankWatch, type Sign } from './watch-state.ts';

/** A record with what it folds to, ready for more facts to be folded on. None of it is changed afterwards. */
export interface Folded {
  trip: string;
  /** In order of telling. */
  history: readonly Fact[];
  state: TripState;
  /** What the plan and the people amount to before anything happened on the wall. */
  plan: TripState;
  /** What counts of the wall, in the order it happened. */
  wall: readonly Fact[];
}

/**
 * The state that a trip's facts lead to. It depends on the set of facts only, not on their order in
 * `history`. The plan is read in the order of telling. The wall is read in the order of happening, so
 * that late, amended and struck posts land where they belong.
 */
export function fold(trip: string, history: readonly Fact[]): TripState {
  const { entries, facts } = effective(history);
  const { told, happened } = byOrder(facts);
  return withWall(withFacts(blank(trip), told), happened, happened, entries);
}

/** The same, kept in a form that more facts can be folded on. */
export function folded(trip: string, history: readonly Fact[]): Folded {
  const { entries, facts } = effective(history);
  const { told, happened: wall } = byOrder(facts);
  const plan = withFacts(blank(trip), told);
  return { trip, history, plan, wall, state: withWall(copyOf(plan), wall, wall, entries) };
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
  const { told, happened } = byOrder(fresh);
  const entries = [
    ...before.state.entries,
    ...fresh.map((event): LogEntry => ({ event, amendedBy: [] })),
  ];
  const plan = told.length === 0 ? before.plan : withFacts(copyOf(before.plan), told);
  const [first, last] = [happened.sort(happenedBefore)[0], before.wall.at(-1)];
  const wall = [...before.wall, ...happened];
  const isNext = first === undefined || last === undefined || happenedBefore(last, first) < 0;
  if (!isNext) wall.sort(happenedBefore);
  const state =
    isNext && told.length === 0
      ? withWall(copyOf(before.state), happened, wall, entries)
      : withWall(copyOf(plan), wall, wall, entries);
  return { trip, history, plan, wall, state };
}

/** Whether a fact changes how earlier ones are read. */
function rewrites(fact: Fact): boolean {
  const does = actOf(fact)?.does;
  return does === 'strike' || does === 'amend';
}

function byOrder(facts: readonly Fact[]): { told: Fact[]; happened: Fact[] } {
  const told: Fact[] = [];
  const happened: Fact[] = [];
  for (const fact of facts) (kindOf(fact.kind).order === 'told' ? told : happened).push(fact);
  return { told, happened };
}

function withFacts(state: TripState, facts: readonly Fact[]): TripState {
  for (const fact of facts) kindOf(fact.kind).fold(state, fact);
  return state;
}

/**
 * Folds what happened into a state. What the whole record shows is worked out at the end.
 *
 * @param wall everything that happened, folded before or now
 */
function withWall(
  state: TripState,
  happened: readonly Fact[],
  wall: readonly Fact[],
  entries: LogEntry[],
): TripState {
  state.entries = entries;
  state.seq = entries.at(-1)?.event.seq ?? 0;
  withFacts(state, happened);
  for (const fact of wall) {
    const sign = signOf(state, fact);
    if (sign !== undefined) state.watch.signs.push(sign);
  }
  return state;
}

/** What shows that they were well has always happened; a test holds the kinds to it. */
function signOf(state: TripState, fact: Fact): Sign | undefined {
  const kind = kindOf(fact.kind);
  return kind.alive
    ? new ToldSign(fact, () => kind.say(fact.data, state), spokenOf(state, fact))
    : undefined;
}

/** A sign whose words are made when they are read: few ever are, and a new name changes the words of all. */
class ToldSign implements Sign {
  readonly atMs: number;
  readonly recordedAtMs: number;
  readonly seq: number;
  readonly by: Fact['by'];
  declare readonly who?: readonly string[];
  readonly #say: () => string;

  constructor(
    { atMs, recordedAtMs, seq, by }: Fact,
    say: () => string,
    who: readonly string[] | undefined,
  ) {
    this.atMs = atMs;
    this.recordedAtMs = recordedAtMs;
    this.seq = seq;
    this.by = by;
    this.#say = say;
    if (who !== undefined) this.who = who;
  }

  get words(): string {
    return this.#say();
  }
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
