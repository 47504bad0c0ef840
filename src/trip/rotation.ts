import { conditionOf } from './conditions.ts';
import { climbingOn } from './parts.ts';
import type { Person } from './people.ts';
import {
  climbers,
  type LeadOrder,
  linkStartsAt,
  type PitchState,
  type TripState,
} from './state.ts';
import { ledIn, modeOf, type Style } from './topo.ts';
import { ropesOf, toldRopes } from './two-ropes.ts';

/** Why somebody leads a pitch. */
export type LeadReason =
  /** Told with the pitch's start or completion. */
  | { why: 'told' }
  | { why: 'assigned' | 'swapped'; by: string }
  /** The second half of a link goes with the first. */
  | { why: 'link'; first: number }
  /** Swing: whoever has waited longest; `after` led last. */
  | { why: 'swing'; after?: { pitch: number; leader: string } }
  | { why: 'block'; n: number; nth: number }
  | { why: 'list'; from?: 'fastest' };

/** Who leads one pitch, and why. People are given by id. */
export interface Lead {
  pitch: number;
  /** Undefined when nobody on the roster may lead. */
  leader?: string;
  reason: LeadReason;
  /** The second; the longest-waiting of the others. Undefined when there is no other climber. */
  belayer?: string;
  /** True when the pitch is harder than the leader's ceiling for the way it is climbed. */
  aboveCeiling: boolean;
  /** Who could lead it by ceiling, when the leader is above theirs. */
  could: string[];
}

interface Turns {
  /** Climber → index of their newest turn; lower has waited longer. */
  last: Map<string, number>;
  now: number;
  current?: { leader: string; pitch: number; run: number };
}

/**
 * Who leads each pitch, from the first to the top. A leader who was told comes first, then one who was
 * assigned or swapped by hand, then the order. In every order the turn goes to the climber who has
 * waited longest. So an override costs nobody a turn, somebody who joins queues at the end, and
 * somebody who leaves or is hurt is passed over.
 */
export function leads(state: TripState): Lead[] {
  return leadsOf(state, toldRopes(state) ? new Set(ropesOf(state)[0]) : undefined);
}

/**
 * Who leads each pitch on a rope behind the first: its own people, by the same order.
 *
 * @param rope 1 for the first, as people count them
 */
export function leadsOnRope(state: TripState, rope: number): Lead[] {
  const own = new Set(ropesOf(state)[rope - 1]);
  const pitches = state.pitches.map(({ started: _s, fixed: _f, done: _d, ...pitch }) => pitch);
  const assigned = new Map([...state.assigned].filter(([, a]) => own.has(a.leader)));
  return leadsOf({ ...state, pitches, assigned }, own);
}

function leadsOf(whole: TripState, rope: ReadonlySet<string> | undefined): Lead[] {
  // Whoever is on another rope neither leads here nor belays.
  const state =
    rope === undefined || rope.size === 0
      ? whole
      : { ...whole, people: whole.people.map((p) => (rope.has(p.id) ? p : onGround(p))) };
  const turns = firstTurns(state);
  const out: Lead[] = [];
  for (const pitch of state.pitches) {
    admitJoiners(state, turns, pitch);
    const [leader, reason] = leaderOf(state, turns, pitch, out);
    const belayer = longestWaiting(state, turns, leader, false);
    out.push({
      pitch: pitch.number,
      reason,
      ...(leader === undefined ? {} : { leader }),
      ...(belayer === undefined ? {} : { belayer }),
      ...ceiling(state, pitch, leader),
    });
    if (leader !== undefined) takeTurn(turns, leader, pitch.number);
  }
  return out;
}

function onGround(person: Person): Person {
  return { ...person, roles: person.roles.filter((role) => role !== 'climber') };
}

function leaderOf(
  state: TripState,
  turns: Turns,
  pitch: PitchState,
  before: readonly Lead[],
): [string | undefined, LeadReason] {
  const told = pitch.done?.leader ?? pitch.started?.leader;
  if (told !== undefined) return [told, { why: 'told' }];
  const previous = before.at(-1);
  if (linkStartsAt(state, pitch.number - 1) && previous?.leader !== undefined) {
    return [previous.leader, { why: 'link', first: previous.pitch }];
  }
  const byHand = state.assigned.get(pitch.number);
  const isThere =
    pitch.done !== undefined ||
    climbingOn(state).some((p) => p.id === byHand?.leader && !isHurt(state, p));
  if (byHand !== undefined && isThere) return [byHand.leader, { why: byHand.how, by: byHand.by }];
  return byOrder(state, turns, pitch.number);
}

function byOrder(state: TripState, turns: Turns, number: number): [string | undefined, LeadReason] {
  const { order } = state;
  const able = new Set(climbingOn(state).flatMap((p) => (takesLeads(state, p) ? [p.id] : [])));
  if (order.rule === 'list') {
    const listed = order.leaders[(number - 1) % order.leaders.length];
    if (listed !== undefined && able.has(listed)) {
      return [
        listed,
        order.from === undefined ? { why: 'list' } : { why: 'list', from: order.from },
      ];
    }
  }
  const { current } = turns;
  if (order.rule === 'block' && current !== undefined && able.has(current.leader)) {
    if (current.run < order.n) {
      return [current.leader, { why: 'block', n: order.n, nth: current.run + 1 }];
    }
  }
  const leader = longestWaiting(state, turns, current?.leader, true);
  if (order.rule === 'block') return [leader, { why: 'block', n: order.n, nth: 1 }];
  const after = current === undefined ? {} : { after: current };
  return [leader, { why: 'swing', ...after }];
}

const isHurt = (state: TripState, { id }: Person): boolean => conditionOf(state, id) === 'hurt';

/** Whether somebody gets turns: by the roster, and not while they are hurt, as last told. */
const takesLeads = (state: TripState, person: Person): boolean =>
  person.leads && !isHurt(state, person);

/** The climber (not `except`, unless alone and leading) whose last turn is longest ago. */
function longestWaiting(
  state: TripState,
  turns: Turns,
  except: string | undefined,
  toLead: boolean,
): string | undefined {
  const pool = climbingOn(state).filter((p) => !toLead || takesLeads(state, p));
  const others = pool.filter((p) => p.id !== except);
  const choice = others.length > 0 ? others : toLead ? pool : [];
  return choice
    .map((p) => ({ id: p.id, last: turns.last.get(p.id) ?? Number.NEGATIVE_INFINITY }))
    .sort((a, b) => a.last - b.last)[0]?.id;
}

/** Turns before the first pitch: the order's own list, then the roster, stand for who has waited longest. */
function firstTurns(state: TripState): Turns {
  const queue = queueOf(
    state.order,
    climbers(state).map((p) => p.id),
  );
  const last = new Map(queue.map((id, i) => [id, i - queue.length]));
  for (const person of climbers(state))
    if (joinedAfter(state, person.id) > 0) last.delete(person.id);
  return { last, now: 0 };
}

function queueOf(order: LeadOrder, roster: readonly string[]): string[] {
  const named = order.people.filter((id) => roster.includes(id));
  return [...named, ...roster.filter((id) => !named.includes(id))];
}

/**
 * The highest pitch done between the first climber's joining and this one's; 0 for who was there from
 * the start. Pitches done before anybody was on the roster don't count: then the whole trip was set
 * up late.
 */
function joinedAfter(state: TripState, id: string): number {
  const party = state.people.filter((p) => p.hasClimbed === true);
  const person = party.find((p) => p.id === id);
  if (person === undefined) return 0;
  const firstMs = Math.min(...party.map((p) => p.joinedAtMs));
  const isBetween = (ms: number | undefined) =>
    ms !== undefined && ms >= firstMs && ms < person.joinedAtMs;
  return state.pitches.findLast((p) => isBetween(p.done?.atMs))?.number ?? 0;
}

/** Somebody who joined with pitches done queues behind all who were there. */
function admitJoiners(state: TripState, turns: Turns, pitch: PitchState): void {
  for (const person of climbers(state)) {
    if (turns.last.has(person.id)) continue;
    if (joinedAfter(state, person.id) < pitch.number) turns.last.set(person.id, turns.now - 0.5);
  }
}

function takeTurn(turns: Turns, leader: string, pitch: number): void {
  const run = turns.current?.leader === leader ? turns.current.run + 1 : 1;
  turns.now += 1;
  turns.last.set(leader, turns.now);
  turns.current = { leader, pitch, run };
}

function ceiling(
  state: TripState,
  pitch: PitchState,
  leader: string | undefined,
): { aboveCeiling: boolean; could: string[] } {
  const aboveCeiling = leader !== undefined && !mayLead(state, pitch, leader);
  const could = aboveCeiling
    ? climbingOn(state).flatMap((p) =>
        takesLeads(state, p) && mayLead(state, pitch, p.id) ? [p.id] : [],
      )
    : [];
  return { aboveCeiling, could };
}

/** Whether the pitch is within this climber's ceilings, as they would lead it. */
export function mayLead(state: TripState, pitch: PitchState, id: string): boolean {
  const person = state.people.find((p) => p.id === id);
  return person !== undefined && overCeiling(person, asLed(state, pitch, id)) === undefined;
}

/**
 * How a leader would lead a pitch that can be led free or on aid: as was chosen; else free, unless only
 * aid is within their ceilings.
 */
export function styleOf(state: TripState, pitch: PitchState, leader: string | undefined): Style {
  const chosen = state.styles.get(pitch.number);
  if (chosen !== undefined) return chosen;
  const person = state.people.find((p) => p.id === leader);
  const within = (style: Style) =>
    person === undefined || overCeiling(person, ledIn(pitch, style)) === undefined;
  return !within('free') && within('aid') ? 'aid' : 'free';
}

/** The pitch with the grades that count for this leader: where there is a choice, of that style alone. */
export function asLed(state: TripState, pitch: PitchState, leader: string | undefined): PitchState {
  return pitch.either === true ? ledIn(pitch, styleOf(state, pitch, leader)) : pitch;
}

/**
 * The ceiling a pitch is above, if any. `6b A1` asks for both: free moves up to 6b, and A1. An unknown
 * grade or ceiling says nothing against it.
 */
export function overCeiling(
  person: Pick<Person, 'free' | 'aid'>,
  pitch: Pick<PitchState, 'free' | 'aid'>,
): 'free' | 'aid' | undefined {
  const over = (way: 'free' | 'aid') => {
    const [asked, ceiling] = [pitch[way], person[way]];
    return asked !== undefined && ceiling !== undefined && asked.rank > ceiling.rank;
  };
  // The way it is climbed is named first.
  const ways = modeOf(pitch) === 'aid' ? (['aid', 'free'] as const) : (['free', 'aid'] as const);
  return ways.find(over);
}
