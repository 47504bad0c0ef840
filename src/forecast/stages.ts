import { leadFactor, type Settings } from './defaults.ts';
import type { ForecastInput, ForecastPitch } from './model.ts';
import {
  type Lognormal,
  lognormalFrom,
  lognormalMoments,
  maxLognormalMoments,
  sumLognormals,
  sumMoments,
} from './moments.ts';

/**
 * The stages of one pitch or link. A stage is a lognormal in minutes, at the pace of an average
 * party, in daylight. `haul` is missing without a bag, `third` in a party of two, `changeover` at
 * the top.
 */
export interface Stages {
  lead: Lognormal;
  fix: Lognormal;
  haul?: Lognormal;
  follow: Lognormal;
  changeover?: Lognormal;
  third?: Lognormal;
}

/** Grade steps below the ceiling at which a leader is at ease, and the range the rule is used in. */
const FREE_EASE_STEPS = -4;
const FREE_EASIEST_STEPS = -8;
const AID_EASE_STEPS = -1;
const GAP_MAX_STEPS = 4;
/** Weights, kg, for which the three haul rates are given. */
const HAUL_KG = { light: 40, heavy: 90, extreme: 150 };
/** Aid pitches without a grade are taken for A2: the middle of what is climbed. */
const AID_GRADE_UNKNOWN = 2;

/** Whether a pitch is led at the pace of aid: its mode is aid, and its grade, where known, is A1 or more. */
export function isAid(pitch: ForecastPitch): boolean {
  return pitch.mode === 'aid' && (pitch.aidGrade ?? AID_GRADE_UNKNOWN) >= 1;
}

function logNormal(medianMin: number, sigma: number): Lognormal {
  return { mu: Math.log(Math.max(medianMin, 0.01)), sigma };
}

/**
 * Lead on aid, min/m, for a grade 1–5. A grade with `+` (2.5) lies half way between its neighbours in
 * equal ratios, as times vary by ratios too; beyond 5 it is that of 5.
 */
export function aidRateMinPerM(grade: number, s: Settings): number {
  const rates = [
    s.aid1LeadMinPerM,
    s.aid2LeadMinPerM,
    s.aid3LeadMinPerM,
    s.aid4LeadMinPerM,
    s.aid5LeadMinPerM,
  ] as const;
  const place = Math.min(5, Math.max(1, grade)) - 1;
  const below = rates[Math.floor(place)] as number;
  const above = rates[Math.ceil(place)] as number;
  return below * (above / below) ** (place % 1);
}

/** Median lead, minutes: length × rate of the grade × what the gap to the leader's ceiling adds. */
function leadMedianMin(pitch: ForecastPitch, s: Settings): number {
  const grade = pitch.aidGrade ?? AID_GRADE_UNKNOWN;
  if (!isAid(pitch)) {
    const gap = Math.min(GAP_MAX_STEPS, pitch.gapSteps ?? s.gapUnknownSteps);
    const harder = s.freeGapPerStep * Math.max(0, gap - FREE_EASE_STEPS);
    const within = Math.max(FREE_EASIEST_STEPS, gap) - FREE_EASE_STEPS;
    const slow = harder + s.freeEasyPerStep * Math.min(0, within);
    return pitch.lengthM * s.freeLeadMinPerM * Math.exp(slow);
  }
  const rate = aidRateMinPerM(grade, s);
  const gap = Math.min(GAP_MAX_STEPS, pitch.gapSteps ?? AID_EASE_STEPS);
  const slow = s.aidGapPerStep * Math.max(0, gap - AID_EASE_STEPS);
  return pitch.lengthM * rate * Math.exp(slow);
}

/** Haul rate, m/min, for a bag: between the given weights in equal ratios for equal kilograms. */
export function haulMPerMin(bagKg: number, s: Settings): number {
  const between = (kg: number, fromKg: number, toKg: number, from: number, to: number): number =>
    from * (to / from) ** ((kg - fromKg) / (toKg - fromKg));
  const { light, heavy, extreme } = HAUL_KG;
  if (bagKg <= light) return s.haulLightMPerMin;
  if (bagKg <= heavy) {
    return between(bagKg, light, heavy, s.haulLightMPerMin, s.haulHeavyMPerMin);
  }
  if (bagKg <= extreme) {
    return between(bagKg, heavy, extreme, s.haulHeavyMPerMin, s.haulExtremeMPerMin);
  }
  return s.haulExtremeMPerMin;
}

/** Moments of a pitch's whole time: what runs side by side counts with the longer of the two. */
export function totalOf(stages: Stages): Lognormal {
  const side = stages.haul
    ? maxLognormalMoments(stages.haul, stages.follow)
    : lognormalMoments(stages.follow);
  const parts = [lognormalMoments(stages.lead), lognormalMoments(stages.fix), side];
  // At the top there is no changeover to hide the third's work behind.
  const end = stages.changeover ?? stages.third;
  if (end) parts.push(lognormalMoments(end));
  return lognormalFrom(sumMoments(parts));
}

/** The part after the line is fixed: haul beside follow, then changeover. */
export function afterFixOf(stages: Stages): Lognormal {
  const side = stages.haul
    ? maxLognormalMoments(stages.haul, stages.follow)
    : lognormalMoments(stages.follow);
  const end = stages.changeover ?? stages.third;
  return lognormalFrom(sumMoments(end ? [side, lognormalMoments(end)] : [side]));
}

/** The part until the line is fixed. */
export function leadAndFixOf(stages: Stages): Lognormal {
  return sumLognormals([stages.lead, stages.fix]);
}

/** Median minutes in which a rope behind leads, fixes and follows the same pitch. */
function ledAgainMin({ lead, fix, follow }: Stages): number {
  return [lead, fix, follow].reduce((sum, { mu }) => sum + Math.exp(mu), 0);
}

function defaultStages(
  pitches: readonly ForecastPitch[],
  input: ForecastInput,
  s: Settings,
  atTop: boolean,
): Stages {
  const rest = 1 + s.restMinPerH / 60;
  const aid = pitches.some(isAid);
  let followMin = 0;
  let thirdMin = 0;
  let lengthM = 0;
  const leads: Lognormal[] = [];
  for (const pitch of pitches) {
    const climber = input.climbers[pitch.leader];
    const own = climber ? leadFactor(input.settings, climber.id) : 1;
    leads.push(
      logNormal(
        leadMedianMin(pitch, s) * own * rest,
        isAid(pitch) ? s.sigmaLeadAid : s.sigmaLeadFree,
      ),
    );
    const follow = pitch.lengthM * (isAid(pitch) ? s.cleanMinPerM : s.freeFollowMinPerM);
    followMin += follow;
    thirdMin += isAid(pitch) ? pitch.lengthM * s.jugMinPerM : follow * s.thirdFollowShare;
    lengthM += pitch.lengthM;
  }
  const stages: Stages = {
    lead: leads.length === 1 ? (leads[0] as Lognormal) : sumLognormals(leads),
    fix: logNormal(s.fixMin * rest, s.sigmaFix),
    follow: logNormal(followMin * rest, s.sigmaFollow),
  };
  if (input.haulBag) {
    const haulMin = s.haulSetupMin + lengthM / haulMPerMin(input.bagKg ?? s.bagKg, s);
    stages.haul = logNormal(haulMin * rest, s.sigmaHaul);
  }
  const extra = (input.ropeSize ?? input.partySize) - 2;
  const behind = (input.ropes ?? 1) - 1;
  if (behind > 0) {
    // Each rope leads every pitch, one pitch behind the other: only at the top is it waited for.
    if (atTop) stages.third = logNormal(behind * ledAgainMin(stages), s.sigmaThird);
  } else if (extra > 0) stages.third = logNormal(thirdMin * extra * rest, s.sigmaThird);
  if (!atTop) {
    const changeMin = input.haulBag || aid ? s.wallChangeoverMin : s.changeoverMin;
    stages.changeover = logNormal(changeMin * rest, s.sigmaChangeover);
  }
  return stages;
}

function scaled(stages: Stages, factor: number): Stages {
  const shift = Math.log(factor);
  const out: Stages = { ...stages };
  for (const key of ['lead', 'fix', 'haul', 'follow', 'changeover', 'third'] as const) {
    const stage = stages[key];
    if (stage) out[key] = { mu: stage.mu + shift, sigma: stage.sigma };
  }
  return out;
}

/** Median minutes of one pitch on its own, at the pace of an average party, in daylight. */
export function pitchMedianMin(pitch: ForecastPitch, input: ForecastInput, s: Settings): number {
  return pitch.expectedMin ?? Math.exp(totalOf(defaultStages([pitch], input, s, false)).mu);
}

/**
 * Stages of a pitch, or of pitches linked into one lead: the leads add up, and there is one anchor,
 * one haul and one changeover. A party's own figure for a pitch (`expectedMin`) stretches all its
 * stages alike, so that the whole has that median.
 *
 * @param pitches at least one, in order
 * @param atTop the last pitch of the route: no changeover
 */
export function stagesOf(
  pitches: readonly ForecastPitch[],
  input: ForecastInput,
  s: Settings,
  atTop: boolean,
): Stages {
  const stages = defaultStages(pitches, input, s, atTop);
  if (pitches.every((pitch) => pitch.expectedMin === undefined)) return stages;
  if (pitches.length === 1) {
    const own = (pitches[0] as ForecastPitch).expectedMin as number;
    return scaled(stages, own / Math.exp(totalOf(stages).mu));
  }
  let own = 0;
  let usual = 0;
  for (const pitch of pitches) {
    usual += Math.exp(totalOf(defaultStages([pitch], input, s, false)).mu);
    own += pitchMedianMin(pitch, input, s);
  }
  return scaled(stages, own / usual);
}
