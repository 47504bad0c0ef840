/**
 * What a forecast is computed from, and what comes out. Plain data, so that the computation can move
 * to a worker and be checked against a second, slow implementation. All instants are milliseconds
 * since the Unix epoch; all durations are minutes unless the name says otherwise.
 */
import type { Departure } from '../timetable/timetable.ts';

/** How a pitch is climbed. A pitch with an aid grade above A0/C0 is climbed on aid. */
export type Mode = 'free' | 'aid';

export interface ForecastPitch {
  /** Pitch number, counted from 1. */
  number: number;
  lengthM: number;
  mode: Mode;
  /** Index of the leader in `ForecastInput.climbers`. */
  leader: number;
  /** Grade minus the leader's own ceiling, in grade steps; negative when the leader is at ease. Undefined when either is unknown. */
  gapSteps?: number;
  /** Aid grade 0–5, a half more with `+`; only for aid pitches. */
  aidGrade?: number;
  stance: 'ledge' | 'hanging';
  bivy: { kind: 'none' | 'ledge' | 'portaledge'; places?: number };
  /** The next pitch is climbed in the same lead (a link): no anchor, no haul, no changeover here. */
  linkedToNext?: boolean;
  /** The party's own figure for the whole pitch, which replaces the default. */
  expectedMin?: number;
  actual?: {
    startedAtMs?: number;
    fixedAtMs?: number;
    doneAtMs?: number;
    /** Nobody knows when it was done: `doneAtMs` is the latest it can have been, and no pace is learnt from it. */
    doneTimeUnknown?: true;
    /** Minutes of marked break inside this pitch, left out of what pace is learnt from. */
    breakMin?: number;
    /** Part of `breakMin` that fell between start and fixed. */
    breakLeadMin?: number;
    leader?: number;
  };
}

/** A span of wall time [fromMs, toMs). */
export interface Span {
  fromMs: number;
  toMs: number;
}

/** One calendar day of the trip, in the wall's zone, made by the one place that turns local times into instants. */
export interface ForecastDay {
  /** Planned start of climbing. */
  startMs: number;
  /** No pitch is begun after this (stop-climbing time). */
  stopMs: number;
  /** Civil dawn and dusk; undefined where the sun does not cross −6° that day. */
  dawnMs?: number;
  duskMs?: number;
  /** Dark all day (polar night) when dawn and dusk are undefined and this is true. */
  darkAllDay?: boolean;
}

export type CutoffKind = 'shuttle' | 'dark' | 'permit' | 'weather' | 'own';

/** What has to have happened by the cutoff. */
export type CutoffTarget = 'topout' | 'down' | 'trailhead' | { pitch: number };

export interface ForecastCutoff {
  id: string;
  kind: CutoffKind;
  label: string;
  atMs: number;
  target: CutoffTarget;
}

export interface ForecastClimber {
  id: string;
  name: string;
}

export interface ForecastInput {
  /** Seeds the ascents: the same trip, log and clock give the same answer. */
  seed: number;
  nowMs: number;
  climbers: ForecastClimber[];
  partySize: number;
  haulBag: boolean;
  /** kg in the bag; used by the haul stage. */
  bagKg?: number;
  pitches: ForecastPitch[];
  /** True when the party has left the ground, or a start was told. */
  departed: boolean;
  /** When climbing starts if it hasn't: the planned or told start of pitch 1. */
  plannedStartMs?: number;
  /** From the first day of the trip on; enough of them for the longest ascent. */
  days: ForecastDay[];
  /** Nights already begun or planned by name of the pitch they are after; the party is settled there now. */
  settled?: { sinceMs: number; untilMs: number };
  /** A wet-rock hold: no climbing before this. */
  holdUntilMs?: number;
  /** Past spans nobody climbed in: nights, holds, a stop that was told. Pace is not learnt from them. */
  pauses?: Span[];
  /** Pitch numbers after which the party means to sleep, if it gets there late enough in the day. */
  bivyPlan?: number[];
  /** Descent from the top to the trailhead. */
  descent:
    | { kind: 'given'; min: number }
    | { kind: 'walk'; km: number; upM: number; downM: number };
  /** Walk out from the trailhead when the last shuttle is gone. */
  walkOut?: { km: number; upM: number; downM: number };
  departures?: Departure[];
  cutoffs: ForecastCutoff[];
  /** Chance wanted for every cutoff, 0.5–0.99. */
  confidence: number;
  /** How many ascents hanging and latest times are taken from; 4,000 unless set. */
  ascents: number;
  /** Overrides of the defaults in `defaults.ts`, by name. */
  settings: Record<string, number>;
}

/** 10, 50 and 90 % quantiles, epoch milliseconds; Infinity where no end is found as often. */
export interface Quantiles {
  q10: number;
  q50: number;
  q90: number;
}

export interface CheckpointForecast {
  pitch: number;
  /** When the pitch is done: actual when it is, else projected. */
  done: Quantiles;
  actual?: number;
}

export interface CutoffForecast {
  id: string;
  kind: CutoffKind;
  label: string;
  atMs: number;
  /** Chance to meet it, 0–1. */
  chance: number;
  /** The one that binds: the cutoff with the least chance; ties go to the earlier. */
  binds: boolean;
}

export interface HangingForecast {
  pitch: number;
  climber: string;
  /** Expected minutes this person hangs at this stance. */
  meanMin: number;
  q90Min: number;
}

export interface Forecast {
  atMs: number;
  checkpoints: CheckpointForecast[];
  topout: Quantiles;
  trailhead: Quantiles;
  /** When the party boards, or is out on foot if the last shuttle is gone; undefined without a timetable. */
  boarding?: Quantiles;
  /**
   * The last departure of the day by which the party is down at least as likely as not, with
   * the chance to board it; the departure of that day most catch; and the chance to have to walk.
   */
  shuttle?: { likelyMs: number; lastMs: number; chanceLast: number; chanceWalk: number };
  cutoffs: CutoffForecast[];
  hanging: HangingForecast[];
  /** Chance of exactly k more nights on the wall (index k); index 0 is the chance of none. */
  nights: number[];
  /** Chance of a night where nobody can lie down: no ledge for the party, no portaledge. */
  exposedNight: number;
  /** Pace against the defaults: 1.4 is forty percent slower. Party and leaders, with the 80 % interval. */
  pace: {
    party: { factor: number; low: number; high: number; stages: number };
    leaders: { climber: string; factor: number; low: number; high: number; stages: number }[];
  };
  /** Chance, 0–1, that no end is found within the days given (no bivy reachable, hold too long). Above zero must be said. */
  unfinished: number;
}
