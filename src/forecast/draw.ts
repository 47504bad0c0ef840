import type { Compiled } from './compile.ts';
import {
  AID_EFFECT,
  CHANGEOVER_EFFECT,
  DRIFT_TERMS,
  HAUL_EFFECT,
  leaderEffect,
  PARTY_EFFECT,
} from './effects.ts';
import { toLattice } from './lattice.ts';
import { LEG_NORMALS } from './layout.ts';
import type { Leg } from './legs.ts';
import { shaped } from './mixture.ts';
import { lognormalMoments, maxLognormalMoments } from './moments.ts';
import { normalSurvival, truncatedNormal } from './normal.ts';
import { type DrawnRain, drawRain, newRain } from './rain.ts';
import { expFast, fillNormals } from './random.ts';
import { LEG_STRIDE, type LegTables } from './tables.ts';
import { incidentMin, studentAt } from './tails.ts';
import { effectShift, logTimeAt, type UnderWay } from './under-way.ts';
import { widened } from './uneven.ts';
import { workBetween } from './work-clock.ts';

/**
 * One ascent as drawn: work in minutes by daylight, before hours, nights and the dark lay it out in
 * time. By leg: the moments since its start at which the leader is up, the line is fixed (and the
 * third of the pitch before is up), the second is up, second and bag are up, and all is done.
 */
export interface Ascent {
  normals: Float64Array;
  effects: Float64Array;
  /** What each leader adds to the party's pace, as a logarithm: two for each, the second on aid; last, nobody known. */
  leaders: Float64Array;
  leadMin: Float64Array;
  fixedMin: Float64Array;
  followedMin: Float64Array;
  sideMin: Float64Array;
  workMin: Float64Array;
  /** How much later than `workMin` the third is up. */
  lagMin: Float64Array;
  /** Pace over its posterior median: what a slow party expects of itself grows with it. */
  scale: number;
  descentMin: number;
  /** How much later than planned the climb is begun. */
  lateMin: number;
  /** The walk out, for those who have to walk; 0 where none is given. */
  walkMin: number;
  rain: DrawnRain;
}

/** Room for one ascent, used again and again. */
export function newAscent(c: Compiled): Ascent {
  const legs = (): Float64Array => new Float64Array(c.legs.length);
  return {
    normals: new Float64Array(c.layout.count),
    effects: new Float64Array(c.layout.effects),
    leaders: new Float64Array(2 * (c.input.climbers.length + 1)),
    leadMin: legs(),
    fixedMin: legs(),
    followedMin: legs(),
    sideMin: legs(),
    workMin: legs(),
    lagMin: legs(),
    scale: 1,
    descentMin: 0,
    lateMin: 0,
    walkMin: 0,
    rain: newRain(c.rain),
  };
}

/** Shares of a leg's time after which leader, line, second and bag are up, at the stages' means. */
function sharesOf(leg: Leg, part: 'whole' | 'afterFixed') {
  const { lead, fix, haul, follow, changeover, third } = leg.stages;
  const mean = (x: Parameters<typeof lognormalMoments>[0] | undefined) =>
    x ? lognormalMoments(x).mean : 0;
  const before = part === 'whole' ? 1 : 0;
  const leadMin = before * mean(lead);
  const fixed = leadMin + before * mean(fix);
  const followed = fixed + mean(follow);
  const side = fixed + (haul ? maxLognormalMoments(haul, follow).mean : mean(follow));
  const all = side + mean(changeover ?? third);
  return { lead: leadMin / all, fixed: fixed / all, followed: followed / all, side: side / all };
}

/** The part under way: its time is drawn first, given that it exceeds the time spent; then the effects, given that time. */
function drawUnderWay(c: Compiled, u: UnderWay, a: Ascent): void {
  const k = c.state.leg;
  const logTime = logTimeAt(u, a.normals[c.layout.underWay] as number);
  const shift = effectShift(u, logTime);
  for (let e = 0; e < a.effects.length; e++) {
    a.effects[e] = (a.effects[e] as number) + (u.gain[e] as number) * shift;
  }
  const allMin = Math.max(u.spentMin, Math.exp(logTime));
  const shares = sharesOf(c.legs[k] as Leg, c.state.underWay?.part ?? 'whole');
  // What is left, and when the others will be up, counted from the moment work goes on.
  const since = (share: number): number => Math.max(0, allMin * share - u.spentMin);
  a.leadMin[k] = since(shares.lead);
  a.fixedMin[k] = since(shares.fixed);
  a.followedMin[k] = since(shares.followed);
  a.sideMin[k] = since(shares.side);
  a.workMin[k] = allMin - u.spentMin;
}

function drawEffects(c: Compiled, a: Ascent): void {
  const { effects, normals } = a;
  const luck = normals[PARTY_EFFECT] as number;
  const own = widened(c.partyShape ? shaped(c.partyShape, luck) : luck, c.uneven);
  for (let row = 0; row < effects.length; row++) {
    const factor = c.effectCholesky[row] as number[];
    // The party's is the first: the others go with it as far as they hang on it.
    let value = (c.posterior.mean[row] as number) + (factor[PARTY_EFFECT] as number) * own;
    for (let col = 1; col <= row; col++)
      value += (factor[col] as number) * (normals[col] as number);
    effects[row] = value;
  }
  if (c.underWay) drawUnderWay(c, c.underWay, a);
  const party = effects[PARTY_EFFECT] as number;
  const known = c.input.climbers.length;
  for (let l = 0; l < known; l++) {
    a.leaders[2 * l] = effects[leaderEffect(l, false)] as number;
    a.leaders[2 * l + 1] = effects[leaderEffect(l, true)] as number;
  }
  a.scale = expFast(party - (c.posterior.mean[PARTY_EFFECT] as number));
}

/** Minutes of a stage: its mu and sigma in the table, a pace (a logarithm), and a standard normal deviate. */
function stageMin(stages: Float64Array, at: number, pace: number, deviate: number): number {
  return expFast((stages[at] as number) + pace + (stages[at + 1] as number) * deviate);
}

/** What all stages of leg `k` share: the party, the drift there, its day, and the pitch's own noise. */
function sharedPace(c: Compiled, t: LegTables, a: Ascent, k: number): number {
  const { effects, normals } = a;
  let pace = effects[PARTY_EFFECT] as number;
  for (let j = 0; j < DRIFT_TERMS; j++) {
    pace += (t.drift[DRIFT_TERMS * k + j] as number) * (effects[t.driftFrom + j] as number);
  }
  const day = t.day[k] as number;
  if (day >= 0) pace += effects[day] as number;
  const at = (t.at[k] as number) + LEG_NORMALS.pitch;
  const noise = widened(studentAt(normals[at] as number), c.uneven);
  return pace + c.settings.sigmaPitch * noise;
}

function drawLegs(c: Compiled, t: LegTables, a: Ascent): void {
  const { normals: z, leaders, effects } = a;
  const { stages } = t;
  const aidPace = effects[AID_EFFECT] as number;
  const haulPace = effects[HAUL_EFFECT] as number;
  const changePace = effects[CHANGEOVER_EFFECT] as number;
  const { haulBag, partySize } = c.input;
  const { incidents } = c;
  const skip = c.underWay ? c.state.leg : -1;
  const thirdAt = LEG_NORMALS.more + (haulBag ? 1 : 0);
  let lag = 0;
  for (let k = c.state.leg; k < t.count; k++) {
    const at = t.at[k] as number;
    const row = k * LEG_STRIDE;
    const shared = sharedPace(c, t, a, k);
    const endPace = shared + (t.changes[k] === 1 ? changePace : 0);
    const end = stageMin(stages, row + 6, endPace, z[at + LEG_NORMALS.end] as number);
    if (k !== skip) {
      const aid = t.aid[k] as number;
      const own = shared + (leaders[(t.pace[k] as number) + aid] as number);
      const onAid = aid === 1 ? aidPace : 0;
      const delay = incidentMin(incidents, z[at + LEG_NORMALS.incident] as number);
      const lead = delay + stageMin(stages, row, own + onAid, z[at] as number);
      const fix = stageMin(stages, row + 2, own, z[at + LEG_NORMALS.fix] as number);
      const follow = stageMin(
        stages,
        row + 4,
        shared + onAid,
        z[at + LEG_NORMALS.follow] as number,
      );
      const haul = haulBag
        ? stageMin(stages, row + 8, shared + haulPace, z[at + LEG_NORMALS.more] as number)
        : 0;
      // The second can't be brought up before the third of the pitch below has arrived.
      const fixed = Math.max(lead + fix, lag);
      const side = fixed + Math.max(haul, follow);
      a.leadMin[k] = lead;
      a.fixedMin[k] = fixed;
      a.followedMin[k] = fixed + follow;
      a.sideMin[k] = side;
      a.workMin[k] = side + end;
    }
    lag = 0;
    if (partySize > 2) {
      const third = stageMin(stages, row + 10, shared, z[at + thirdAt] as number);
      lag = Math.max(0, third - end);
    }
    a.lagMin[k] = lag;
  }
}

/** Descent; if the party is on its way down, given that it hasn't arrived. */
function drawWayOut(c: Compiled, a: Ascent): void {
  const { descent, walk, clock } = c.wayOut;
  let z = a.normals[c.layout.descent] as number;
  let spentMin = 0;
  if (c.state.leg === c.legs.length && c.state.downMin < 0) {
    spentMin = workBetween(clock, c.state.downMin, 0);
    const above = spentMin > 0 ? (Math.log(spentMin) - descent.mu) / descent.sigma : -40;
    z = truncatedNormal(z, above, normalSurvival(above));
  }
  a.lateMin = c.startSpreadMin * Math.abs(a.normals[c.layout.start] as number);
  a.descentMin = Math.max(spentMin, expFast(descent.mu + descent.sigma * z));
  if (walk) {
    a.walkMin = expFast(walk.mu + walk.sigma * (a.normals[c.layout.walk] as number));
  }
}

/** Draws ascent `index` into `a`. The same compiled input and index give the same numbers. */
export function drawAscent(c: Compiled, t: LegTables, a: Ascent, index: number): void {
  fillNormals(a.normals, c.layout.count, c.input.seed, index);
  if (c.lattice) toLattice(c.lattice, a.normals, index);
  drawEffects(c, a);
  drawLegs(c, t, a);
  if (c.input.fixTonight === true) fixBefore(c, a);
  drawWayOut(c, a);
  if (c.rain) drawRain(c.rain, a.rain, c.input.seed, index);
}

/** The line of the next pitch is fixed in the evening: in the morning it is only followed, and the bag hauled. */
function fixBefore({ state, underWay, legs }: Compiled, a: Ascent): void {
  const k = state.leg;
  if (underWay || k === legs.length) return;
  const fixed = a.fixedMin[k] as number;
  for (const part of [a.leadMin, a.fixedMin, a.followedMin, a.sideMin, a.workMin]) {
    part[k] = Math.max(0, (part[k] as number) - fixed);
  }
}
