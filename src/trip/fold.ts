import { effective } from './effective.ts';
import type { Fact } from './fact.ts';
import { kindOf } from './kinds/index.ts';
import { spokenOf } from './parts.ts';
import { defaultSettings } from './settings.ts';
import type { TripState } from './state.ts';
import { blankWatch, type Sign } from './watch-state.ts';

/**
 * The state that a trip's facts lead to. It depends on the set of facts only, not on their order in
 * `history`. The plan is read in the order of telling. The wall is read in the order of happening, so
 * that late, amended and struck posts land where they belong.
 */
export function fold(trip: string, history: readonly Fact[]): TripState {
  const { entries, facts } = effective(history);
  const state = blank(trip);
  state.entries = entries;
  state.seq = entries.at(-1)?.event.seq ?? 0;
  for (const fact of facts) kindOf(fact.kind).fold(state, fact);
  state.watch.signs = facts.flatMap((fact) => signOf(state, fact));
  return state;
}

function signOf(state: TripState, fact: Fact): Sign[] {
  const kind = kindOf(fact.kind);
  if (!kind.alive) return [];
  const { atMs, recordedAtMs, seq, by } = fact;
  const who = spokenOf(state, fact);
  const words = kind.say(fact.data, state);
  return [{ atMs, recordedAtMs, seq, by, words, ...(who === undefined ? {} : { who }) }];
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
