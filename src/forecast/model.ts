/**
 * What a forecast is computed from, and what comes out. It is plain data, so that the computation can
 * move to a worker and be checked against a second, slow implementation. All instants are epoch
 * milliseconds. All durations are minutes unless the name says otherwise. Words of this folder:
 *
 * - stage: one piece of work on a pitch: lead, fix, haul, follow, changeover, the third's way up.
 * - leg: one lead with all its stages: a pitch, or two pitches that are linked.
 * - stance: where a leg ends. A refuge is a stance where the whole party can sleep.
 * - gap: the grade of a pitch minus what its leader leads, in steps of the grade table.
 * - effect: a logarithm by which stages are stretched: of the party, of aid, of one leader, of a day.
 * - reference class: what a party says of itself before anything of it is known: first wall together, average, efficient.
 * - incident: something that costs much and comes seldom: a stuck rope or bag, the wrong corner, a party ahead.
 * - pace: e^effect. 1 is as the defaults have it, 1.4 is forty percent slower.
 * - ascent: one sample of the whole climb, drawn from the posterior of the effects and the stages.
 * - work: minutes of climbing by daylight. The work clock turns work into wall time and back.
 * - part under way: what is left of the leg that has begun; its time is a residual time.
 * - latest time: the last moment at a stance that still meets a cutoff with the chance wanted.
 * - hold: the time after rain in which nobody climbs on wet rock.
 * - spell: a stretch of time for which rain was told with a chance; where it rains, it rains all through it.
 */

import type { Departure } from '../timetable/timetable.ts';
import type { RainForecast, RainSpell } from './model-rain.ts';
import type { Silence } from './silence-said.ts';
import type { Unevenness } from './uneven.ts';

/** Rain as it was told, and what it does to the ascents. */
export type { RainForecast, RainSpell } from './model-rain.ts';

import type { Belief } from '../trip/kinds/pace.ts';

/** How a pitch is climbed. A pitch with an aid grade above A0/C0 is climbed on aid. */
export type Mode = 'free' | 'aid';

/** A pitch as the forecast sees it. */
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

/** Why a cutoff binds. */
export type CutoffKind = 'shuttle' | 'dark' | 'permit' | 'weather' | 'own';

/** What has to have happened by the cutoff. */
export type CutoffTarget = 'topout' | 'down' | 'trailhead' | { pitch: number };

/** A cutoff; `atMs` is the last moment that still meets it. */
export interface ForecastCutoff {
  id: string;
  kind: CutoffKind;
  label: string;
  atMs: number;
  target: CutoffTarget;
}

/** A climber; the forecast knows them by their index in `ForecastInput.climbers`. */
export interface ForecastClimber {
  id: string;
  name: string;
}

/** A night the party means to spend after a pitch, and the work round it, minutes. */
export interface PlannedNight {
  pitch: number;
  /** Index in `ForecastInput.days` of the day that it ends; a party that comes later doesn't mean it any more. */
  day: number;
  /** After arriving, before resting. */
  eveningMin: number;
  /** From getting up to the first move. */
  morningMin: number;
}

/** The plan, which every ascent carries out. */
export interface ForecastPlan {
  /** Nights still to come; one that was slept, or passed, is no longer among them. After the last pitch: on top. */
  nights: PlannedNight[];
}

/** How fast a party says it is: what it is believed to be before anything is climbed. */
export type ReferenceClass = 'first' | 'average' | 'efficient';

/** What was learnt on an earlier trip of the party, as it was left there: mean and spread of each effect, as logarithms. */
export interface EarlierPace {
  /** What that party said of itself. */
  class?: ReferenceClass;
  party: Belief;
  aid: Belief;
  haul: Belief;
  changeover: Belief;
  /** By index in `ForecastInput.climbers`; undefined for who wasn't there. */
  leaders: ({ free: Belief; aid: Belief } | undefined)[];
}

/** Everything a forecast is computed from. */
export interface ForecastInput {
  /** Seeds the ascents: the same trip, log and clock give the same answer. */
  seed: number;
  nowMs: number;
  climbers: ForecastClimber[];
  partySize: number;
  /** Ropes one behind the other, each led by its own leader; one when left out. */
  ropes?: number;
  /** Climbers on the rope that is forecast, where it isn't the whole party. */
  ropeSize?: number;
  /** Undefined: nobody said, and the prior is wide enough for all three. */
  party?: ReferenceClass;
  /** The party's pace on an earlier trip. */
  earlier?: EarlierPace;
  haulBag: boolean;
  /** kg in the bag; used by the haul stage. */
  bagKg?: number;
  pitches: ForecastPitch[];
  /** True when the party has left the ground, or a start was told. */
  departed: boolean;
  /** When climbing starts if it hasn't: the planned or told start of pitch 1. */
  plannedStartMs?: number;
  /** The planned start is only guessed from the departure; the time since then says nothing of the pace. */
  startUnsure?: boolean;
  /** From the first day of the trip on; enough of them for the longest ascent. */
  days: ForecastDay[];
  /** The night the party is in: since when, and when it makes its first move. */
  settled?: { sinceMs: number; untilMs: number };
  /** A wet-rock hold: no climbing before this. */
  holdUntilMs?: number;
  /** Rain as it was told for the time ahead. */
  rain?: RainSpell[];
  /** Hours without climbing after rain that is to come; none when left out. */
  wetHours?: number;
  /** Past spans nobody climbed in: nights, holds, a stop that was told. Pace is not learnt from them. */
  pauses?: Span[];
  /** What the party means to do. */
  plan?: ForecastPlan;
  /** Index in `days` of the day on which the plan has everyone down; the first day when left out. */
  downDay?: number;
  /** They fix the pitch above the planned ledge this evening, and come back to sleep. */
  fixTonight?: boolean;
  /** They climb on tonight, in the dark if need be, until this pitch is done. */
  darkTo?: number;
  /** Places on the portaledges carried; undefined: enough for all, 0: none carried. */
  portaledgePlaces?: number;
  /** When the way down was begun, where it is known to be later than the top-out: after a night on top. */
  descentFromMs?: number;
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
  /** How many ascents are drawn; everything is taken from them. */
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

/** When one pitch is done. */
export interface CheckpointForecast {
  pitch: number;
  /** When the pitch is done: actual when it is, else projected. */
  done: Quantiles;
  actual?: number;
}

/** How likely one cutoff is met. */
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

/** How long one person hangs at one hanging stance, minutes. */
export interface HangingForecast {
  pitch: number;
  climber: string;
  /** Minutes this person hangs at this stance: as likely more as less. 0 where they more likely don’t hang. */
  medianMin: number;
  q90Min: number;
}

/** A factor on times, with its 80 % interval. */
export interface PaceFactor {
  factor: number;
  low: number;
  high: number;
}

/** What is forecast at `atMs`. */
export interface Forecast {
  atMs: number;
  checkpoints: CheckpointForecast[];
  topout: Quantiles;
  trailhead: Quantiles;
  /** When the party boards, or is out on foot if the last shuttle is gone; undefined without a timetable. */
  boarding?: Quantiles;
  /** Top-out by day, the days on which it may be: the chance of each, and when on that day. */
  days: { chance: number; topout: Quantiles }[];
  /**
   * The last departure of the planned day, with the chance to board it; that of the next service day, and
   * that day's first; and the chance to have to walk.
   */
  shuttle?: {
    lastMs: number;
    chanceLast: number;
    next?: { firstMs: number; lastMs: number; chanceLast: number };
    chanceWalk: number;
  };
  cutoffs: CutoffForecast[];
  hanging: HangingForecast[];
  /** Chance of exactly k more nights on the wall (index k); index 0 is the chance of none. */
  nights: number[];
  /** Where the next night is spent most often, 0 on the ground, and the chance that it is spent there. */
  nextNight?: { pitch: number; chance: number };
  /** The next planned night not reached yet, and the chance to be there by its day's stop time. */
  plannedNight?: { pitch: number; stopMs: number; chance: number };
  /** Only where rain was told for the time ahead. */
  rain?: RainForecast;
  /** Chance of a night where nobody can lie down: no ledge for the party, no portaledge. */
  exposedNight: number;
  /**
   * Pace against the defaults: 1.4 is forty percent slower. The party's, and each leader's, free and on aid;
   * then what aid, hauling, changeovers and today each put on top, and how uneven the pitches were.
   */
  pace: {
    party: PaceFactor & { stages: number };
    leaders: (PaceFactor & { climber: string; aid: PaceFactor; stages: number })[];
    aid: PaceFactor;
    haul: PaceFactor;
    changeover: PaceFactor;
    today: PaceFactor;
    uneven: Unevenness;
  };
  /** After hours without a word: what is expected meanwhile. */
  silence?: Silence;
  /** Chance, 0–1, that no end is found within the days given (no bivy reachable, hold too long). A hundredth or more must be said. */
  unfinished: number;
}
