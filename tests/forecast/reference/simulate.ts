import type { ForecastInput } from '../../../src/forecast/model.ts';
import { pulls, type RefBelief } from './pace.ts';
import { canSleepAfter, goesDown, goesOn, type RefPace, setsOff } from './plan.ts';
import { dryFrom, type RefRain, refRain } from './rain.ts';
import type { Random } from './random.ts';
import { type RefLeg, type Stage, setting } from './stages.ts';

/** Where the party is, said outright: the reference doesn't read the log. */
export interface RefStart {
  leg: number;
  /** Ready for that leg, or when it (or its part) began. */
  atMs: number;
  under?: 'whole' | 'afterFixed';
}

export interface RefAscent {
  beginMs: number[];
  fixedMs: number[];
  doneMs: number[];
  topoutMs: number;
  trailheadMs: number;
  boardMs: number;
  onFoot: boolean;
  exposed: boolean;
  rains: RefRain[];
}

const MIN = 60_000;
/** Time is walked through in steps of half a minute. */
const STEP_MIN = 0.5;

function dark(input: ForecastInput, ms: number): boolean {
  let latest = Number.NEGATIVE_INFINITY;
  let isDark = true;
  for (const day of input.days) {
    if (day.dawnMs !== undefined && day.dawnMs <= ms && day.dawnMs > latest) {
      latest = day.dawnMs;
      isDark = false;
    }
    if (day.duskMs !== undefined && day.duskMs <= ms && day.duskMs > latest) {
      latest = day.duskMs;
      isDark = true;
    }
  }
  return isDark;
}

function walkThrough(
  input: ForecastInput,
  fromMs: number,
  workMin: number,
  factor: number,
): number {
  let ms = fromMs;
  let left = workMin;
  while (left > 0) {
    const rate = dark(input, ms) ? 1 / factor : 1;
    const step = Math.min(STEP_MIN, left / rate);
    left -= step * rate;
    ms += step * MIN;
    if (left < 1e-9) break;
  }
  return ms;
}

function workSince(input: ForecastInput, fromMs: number, toMs: number, factor: number): number {
  let work = 0;
  for (let ms = fromMs; ms < toMs; ms += STEP_MIN * MIN) {
    const step = Math.min(STEP_MIN, (toMs - ms) / MIN);
    work += step * (dark(input, ms) ? 1 / factor : 1);
  }
  return work;
}

/** A draw of the party's effect: where its chances reach a uniform number. */
function drawParty({ party }: RefBelief, random: Random): number {
  const u = random.uniform();
  let [low, high] = [0, party.length - 1];
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if ((party[middle]?.upTo as number) < u) low = middle;
    else high = middle;
  }
  return party[high]?.value as number;
}

/** Draws effects from the belief: the party's by its own law, the others by a triangle of the covariance by Gram–Schmidt on its square root. */
function drawEffects(belief: RefBelief, random: Random): number[] {
  const n = belief.mean.length;
  const root: number[][] = [];
  for (let i = 0; i < n; i++) {
    root.push([]);
    for (let j = 0; j <= i; j++) {
      let v = belief.cov[i]?.[j] as number;
      for (let q = 0; q < j; q++) v -= (root[i]?.[q] as number) * (root[j]?.[q] as number);
      (root[i] as number[])[j] = i === j ? Math.sqrt(Math.max(v, 0)) : v / (root[j]?.[j] as number);
    }
  }
  const z = belief.mean.map(() => random.normal());
  const off = drawParty(belief, random) - (belief.mean[0] as number);
  z[0] = (off * (off > 0 ? belief.late : belief.early)) / (root[0]?.[0] as number);
  return belief.mean.map(
    (m, i) => m + (root[i] as number[]).reduce((s, r, j) => s + r * (z[j] as number), 0),
  );
}

interface Drawn {
  lead: number;
  fix: number;
  side: number;
  end: number;
  third: number;
}

/** Student's t with four degrees of freedom: a normal over the root of a mean of four squares; no further than eight. */
function student(random: Random): number {
  let squares = 0;
  for (let i = 0; i < 4; i++) squares += random.normal() ** 2;
  return Math.min(8, Math.max(-8, random.normal() / Math.sqrt(squares / 4)));
}

/** One leg on a day of the trip; without luck, the pitch's own noise and incidents are left out. */
function drawLeg(
  input: ForecastInput,
  leg: RefLeg,
  { effects, late = 1, early = 1 }: { effects: number[]; late?: number; early?: number },
  day: number,
  random: Random,
  luck = true,
): Drawn {
  const t = luck ? student(random) : 0;
  const pitch = setting(input, 'sigmaPitch') * t * (t > 0 ? late : early);
  const draw = (stage: Stage | undefined): number => {
    if (!stage) return 0;
    const pace = pulls(input, leg, stage, day).reduce(
      (sum, [effect, much]) => sum + much * (effects[effect] as number),
      pitch,
    );
    return stage.median * Math.exp(pace + stage.sigma * random.normal());
  };
  const hit = luck && random.uniform() < setting(input, 'incidentChance');
  const lost = Math.exp(setting(input, 'sigmaIncident') * random.normal());
  const lead = draw(leg.lead) + (hit ? setting(input, 'incidentMin') * lost : 0);
  const fix = draw(leg.fix);
  const side = Math.max(draw(leg.follow), draw(leg.haul));
  const third = draw(leg.third);
  return { lead, fix, side, end: leg.change ? draw(leg.change) : third, third };
}

function expected(leg: RefLeg, mean: number[]): number {
  // Median of the whole leg at the learnt pace, by plain sampling: good to a part in a few hundred.
  return (expectedCache.get(leg) ?? 0) * Math.exp(mean[0] as number);
}
const expectedCache = new Map<RefLeg, number>();

/** Fills in the expected time of every leg: what the party goes by when it decides on a night. */
export function prepare(
  input: ForecastInput,
  legs: RefLeg[],
  belief: RefBelief,
  random: Random,
): void {
  for (const leg of legs) {
    // No day's effect: which day it will be is what is being decided.
    const effects = belief.mean.map((m, i) => (i === 0 || i >= belief.mean.length - 4 ? 0 : m));
    const all = Array.from({ length: 4001 }, () => {
      const d = drawLeg(input, leg, { effects }, 0, random, false);
      return d.lead + d.fix + d.side + d.end;
    }).sort((a, b) => a - b);
    expectedCache.set(leg, all[2000] as number);
  }
}

/** Day of the trip on which something is begun. */
function dayAt(input: ForecastInput, ms: number): number {
  return Math.max(0, input.days.filter((day) => day.startMs <= ms + 1e-3).length - 1);
}

function firstDayAfter(input: ForecastInput, ms: number): number {
  return input.days.find((day) => day.startMs > ms)?.startMs ?? Number.POSITIVE_INFINITY;
}

/** One ascent, or undefined when what was drawn contradicts that the part under way isn't done yet. */
export function refAscent(
  input: ForecastInput,
  legs: RefLeg[],
  belief: RefBelief,
  start: RefStart,
  random: Random,
): RefAscent | undefined {
  const factor = setting(input, 'darkFactor');
  const effects = drawEffects(belief, random);
  const drawn = { effects, late: belief.late, early: belief.early };
  const out: RefAscent = {
    beginMs: [],
    fixedMs: [],
    doneMs: [],
    topoutMs: start.atMs,
    trailheadMs: 0,
    boardMs: Number.POSITIVE_INFINITY,
    onFoot: false,
    exposed: false,
    rains: refRain(input, random),
  };
  const resume = Math.max(input.nowMs, input.holdUntilMs ?? 0);
  let ms = start.under ? start.atMs : Math.max(start.atMs, resume);
  let lag = 0;
  const scale = Math.exp((effects[0] as number) - (belief.mean[0] as number));
  const usual = legs.map((leg) => expected(leg, belief.mean));
  // What was begun before now took what it usually takes, for all that is known.
  const pace: RefPace = {
    expectedMin: usual.map((min) => min * scale),
    lastMin: usual[start.under ? start.leg : start.leg - 1] ?? 0,
  };
  for (let k = start.leg; k < legs.length; k++) {
    const leg = legs[k] as RefLeg;
    if (k === start.leg && start.under) {
      const d = drawLeg(input, leg, drawn, dayAt(input, start.atMs), random);
      lag = leg.change ? Math.max(0, d.third - d.end) : 0;
      const all = (start.under === 'whole' ? d.lead + d.fix : 0) + d.side + d.end;
      const spent = workSince(input, start.atMs, input.nowMs, factor);
      if (all <= spent) return undefined;
      const from =
        resume > input.nowMs
          ? goesOn(input, legs, k, resume, { ...pace, expectedMin: usual })
          : resume;
      ms = walkThrough(input, from, all - spent, factor);
      // What of it was done before a night or a hold is no work of that morning.
      const ofToday = resume > input.nowMs ? 0 : Math.min(spent, (input.nowMs - start.atMs) / MIN);
      pace.lastMin = all - spent + ofToday;
    } else {
      const arrived = k === start.leg ? start.atMs : ms;
      let off =
        k === start.leg
          ? goesOn(input, legs, k, Math.max(setsOff(input, legs, k, arrived, pace), resume), pace)
          : setsOff(input, legs, k, ms, pace);
      for (let dry = dryFrom(input, out.rains, off); dry > off; ) {
        off = goesOn(input, legs, k, dry, pace);
        dry = dryFrom(input, out.rains, off);
      }
      const since = k === start.leg ? Math.max(start.atMs, input.nowMs) : ms;
      const night = firstDayAfter(input, since) <= off;
      if (night && k > 0 && !canSleepAfter(input, legs[k - 1])) out.exposed = true;
      if (off === Number.POSITIVE_INFINITY) throw new Error('days run out: give more');
      const late = k === 0 ? Math.abs(setting(input, 'startSpreadMin') * random.normal()) : 0;
      const begin = off + late * MIN;
      const d = drawLeg(input, leg, drawn, dayAt(input, begin), random);
      // The line is fixed in the evening before: the morning's work is what is left of the pitch.
      if (k === start.leg && input.fixTonight === true) Object.assign(d, { lead: 0, fix: 0 });
      out.beginMs[k] = begin;
      out.fixedMs[k] = walkThrough(input, begin, d.lead + d.fix, factor);
      const work = Math.max(d.lead + d.fix, lag) + d.side + d.end;
      ms = walkThrough(input, begin, work, factor);
      pace.lastMin = work;
      lag = leg.change ? Math.max(0, d.third - d.end) : 0;
    }
    out.doneMs[k] = ms;
    out.topoutMs = ms;
  }
  const down = input.descent;
  if (down.kind !== 'given') throw new Error('the reference takes a given descent');
  const night = setting(input, 'darkDescentFactor');
  const descent = down.min * Math.exp(setting(input, 'sigmaDescent') * random.normal());
  out.trailheadMs = walkThrough(
    input,
    goesDown(input, legs, out.topoutMs, pace.lastMin),
    descent,
    night,
  );
  leaveBy(input, out, night, random);
  return out;
}

/** DIN 33466: 4 km/h, 300 m/h up, 500 m/h down; the larger whole, the smaller half. */
function din(walk: { km: number; upM: number; downM: number }): number {
  const flat = (walk.km / 4) * 60;
  const steep = (walk.upM / 300 + walk.downM / 500) * 60;
  return Math.max(flat, steep) + Math.min(flat, steep) / 2;
}

function leaveBy(input: ForecastInput, out: RefAscent, night: number, random: Random): void {
  const list = input.departures ?? [];
  const ready = out.trailheadMs + setting(input, 'boardMin') * MIN;
  const next = list.find((d) => d.atMs >= ready);
  const missed = list.filter((d) => d.atMs < ready).at(-1);
  out.boardMs = next?.atMs ?? Number.POSITIVE_INFINITY;
  const gone = !next || missed?.last === true;
  if (!gone || !input.walkOut) return;
  const walk = din(input.walkOut) * Math.exp(setting(input, 'sigmaWalk') * random.normal());
  const outMs = walkThrough(input, out.trailheadMs, walk, night);
  if (outMs < out.boardMs) {
    out.boardMs = outMs;
    out.onFoot = true;
  }
}
