/**
 * The state of a trip. Words of this folder:
 *
 * - fact: one thing that was told, as it stands in the record; it is never changed afterwards.
 * - kind: the sort of a fact, like `pitch.done`; it says how the fact is read, folded and worded.
 * - post: a fact that somebody told, as opposed to one that the watch wrote.
 * - record: all facts of a trip, in the order of telling. An entry is one of them, by its number.
 * - strike, amend: a later fact takes an entry out, or changes what it says.
 * - fold: to work out the state from the record.
 * - rule: what a state may not contain. A no is a rule that was broken, with the way out.
 * - clash: two posts that contradict each other, found while folding.
 * - mark: that a pitch was started, fixed or done, with its time.
 * - link: two pitches climbed in one lead.
 * - order: how leads go round. The rotation is who leads each pitch by it.
 * - cutoff: a time by which something has to have happened.
 * - sign of life: a fact that shows that the party was well at its time.
 *
 * Names that end in `Ms` are instants in epoch milliseconds, in `Min` minutes, in `M` metres.
 */
import type { Fact } from './fact.ts';
import type { Cutoff } from './kinds/cutoff.ts';
import type { DescentPoint } from './kinds/descent.ts';
import type { KitThing } from './kinds/kit.ts';
import type { Imported } from './kinds/log.ts';
import type { Night } from './kinds/night.ts';
import type { TakenPace } from './kinds/pace.ts';
import type { Split } from './kinds/party.ts';
import type { Chosen } from './kinds/plan.ts';
import type { SaidDry } from './kinds/rain.ts';
import type { Retreat } from './kinds/retreat.ts';
import type { Schedule } from './kinds/schedule.ts';
import type { Shuttle } from './kinds/shuttle.ts';
import type { Trouble } from './kinds/trouble.ts';
import type { Wait } from './kinds/wait.ts';
import type { Weather } from './kinds/weather.ts';
import type { Person } from './people.ts';
import type { TripSettings } from './settings.ts';
import type { Style, TopoPitch } from './topo.ts';
import type { RopeMark } from './two-ropes.ts';
import type { LengthUnit } from './units.ts';
import type { WatchState } from './watch-state.ts';

/** One thing told of a pitch: who led, when, and the post it comes from. */
export interface Mark {
  atMs: number;
  eventId: string;
  seq: number;
  recordedAtMs: number;
  by: { id: string; name: string };
  leader?: string;
  /** Nobody knows when it was: `atMs` is the latest it can have been. */
  timeUnknown?: true;
}

/** A pitch of the topo with what was told of it. */
export interface PitchState extends TopoPitch {
  started?: Mark;
  fixed?: Mark;
  done?: Mark;
}

/** How leads go round. People are given by id; `n` is the pitches of a block. */
export type LeadOrder =
  | { rule: 'swing'; people: readonly string[] }
  | { rule: 'block'; n: number; people: readonly string[] }
  | { rule: 'list'; leaders: readonly string[]; people: readonly string[]; from?: 'fastest' };

/** A leader's id set by hand for one pitch, and the name of whoever set it. */
export interface Assignment {
  leader: string;
  how: 'assigned' | 'swapped';
  by: string;
}

/** A rest inside a pitch, epoch milliseconds. */
export interface Break {
  pitch: number;
  fromMs: number;
  toMs: number;
  eventId: string;
}

/** An entry of the record with what later posts did to it. */
export interface LogEntry {
  event: Fact;
  /** seq of the strike that took it away, unless that was struck itself. */
  struckBy?: number;
  /** seqs of the amendments in force, oldest first. */
  amendedBy: readonly number[];
}

/** Everything the posts of a trip amount to. Made only by `fold`; never changed by its readers. */
export interface TripState {
  id: string;
  seq: number;
  name: string;
  zone: string;
  place: { name?: string; lat?: number; lon?: number };
  units: LengthUnit;
  /** Chance wanted for every cutoff, 0.5–0.99. */
  confidence: number;
  /** The local emergency number the trip was opened with, as text. */
  emergencyNumber?: string;
  settings: TripSettings;
  /** The pace learnt on an earlier trip, where somebody took it over. */
  takenPace?: TakenPace;
  openedAtMs: number;
  openedBy: { id: string; name: string };
  /** Set where the record was opened from a file: which entries came from it, and who brought it in when. */
  imported?: Imported;
  departedAtMs?: number;
  downAtMs?: number;
  closedAtMs?: number;
  /** In order of joining, those who left included. */
  people: Person[];
  pitches: PitchState[];
  order: LeadOrder;
  assigned: Map<number, Assignment>;
  /** Who climbs with whom, ids by rope, the one in front first; empty where nobody told. */
  ropes: readonly (readonly string[])[];
  /** What ropes behind the first were told to have done, by time. */
  ropeMarks: RopeMark[];
  /** How a pitch is to be led that can be led free or on aid, where somebody chose. */
  styles: Map<number, Style>;
  /** First pitch of each link: 5 means 5 and 6 in one lead. */
  links: Set<number>;
  breaks: Break[];
  cutoffs: Cutoff[];
  shuttle?: Shuttle;
  /** Pitches after which a night is meant, ascending. */
  bivyPlan: number[];
  /** Starts of single days, by day of the trip from 1: a clock time, or the first shuttle. */
  starts: Map<number, string>;
  /** What was chosen last where the plan no longer fitted. */
  chosen?: Chosen;
  nights: Night[];
  rains: { fromMs: number; toMs?: number }[];
  /** By time. */
  saidDry: SaidDry[];
  /** The weather as it was told last for the time ahead. */
  weather: { typed?: Weather; fetched?: Weather };
  /** What was told of the kit, by its name in lower case. */
  kit: Map<string, KitThing>;
  waits: Wait[];
  retreats: Retreat[];
  /** Of parts of the party while the others stay on the wall. */
  partRetreats: Retreat[];
  /** Partings and meetings, by time. */
  splits: Split[];
  /** Since when somebody is off the wall, others being still on it. */
  outSince: Map<string, number>;
  /** Points of the way down that were reached, by time. */
  descent: { point: DescentPoint; atMs: number; seq: number }[];
  /** The schedule in force; older ones are in the record. */
  schedule?: Schedule;
  /** Everything told of trouble, ended ones included; oldest first. */
  troubles: Trouble[];
  /** What was agreed about silence, and what came of it. */
  watch: WatchState;
  entries: LogEntry[];
  /** What contradicts itself in the posts, found while folding; the rules refuse it. */
  clashes: Clash[];
}

/** A contradiction between posts: which kind, the post that contradicts, and what it is about. */
export interface Clash {
  what:
    | 'told-twice'
    | 'no-such-pitch'
    | 'no-such-person'
    | 'same-person-twice'
    | 'phase-twice'
    | 'no-such-link'
    | 'no-such-cutoff'
    | 'settled-twice'
    | 'not-settled'
    | 'rain-twice'
    | 'not-raining'
    | 'not-waiting'
    | 'retreating-already'
    | 'not-retreating'
    | 'rappel-up'
    | 'no-such-trouble'
    | 'rope-ahead';
  seq: number;
  pitch?: number;
  person?: string;
  mark?: 'started' | 'fixed' | 'done';
  /** The post that stands. */
  first?: Mark;
}

/** Climbers who are with the party now. */
export function climbers(state: TripState): Person[] {
  return state.people.filter((p) => p.leftAtMs === undefined && p.roles.includes('climber'));
}

/** People who have not left the trip. */
export function present(state: TripState): Person[] {
  return state.people.filter((p) => p.leftAtMs === undefined);
}

/** A person of the roster, those who left included; undefined for an unknown id. */
export function personById(state: TripState, id: string): Person | undefined {
  return state.people.find((p) => p.id === id);
}

/** The name behind an id; the id itself where nobody has it. */
export function nameOf(state: TripState, id: string): string {
  return personById(state, id)?.name ?? id;
}

/** A pitch by its number, from 1; undefined where the topo has none. */
export function pitchAt(state: TripState, number: number): PitchState | undefined {
  return state.pitches[number - 1];
}

/** The lowest pitch that isn't done; undefined at the top or without a topo. */
export function currentPitch(state: TripState): PitchState | undefined {
  return state.pitches.find((p) => p.done === undefined);
}

/** True when this pitch and the next are one lead. */
export function linkStartsAt(state: TripState, number: number): boolean {
  return state.links.has(number);
}

/** True when this pitch and the one below are one lead. */
export function linkEndsAt(state: TripState, number: number): boolean {
  return state.links.has(number - 1);
}
