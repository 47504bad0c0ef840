import { type Compiled, compile } from './compile.ts';
import { type Ascent, drawAscent, newAscent } from './draw.ts';
import { lastLegMin } from './lay-out.ts';
import type { ForecastCutoff, ForecastInput } from './model.ts';
import { latestOn, latestReady, latestTop } from './nights.ts';
import { quantilesOf, rankOf } from './quantiles.ts';
import { latestDry } from './rain.ts';
import { atOnce, type Run, sliced } from './sliced.ts';
import { firstOff } from './state.ts';
import { legTables } from './tables.ts';
import { latestBegin } from './work-clock.ts';

/** The latest moment to stand at a checkpoint, all together and ready to go on. */
export interface LatestTime {
  /** Pitch just done; 0 is the ground. */
  pitch: number;
  /** Undefined when no moment from now on gives the chance asked for, or when no cutoff lies ahead. */
  latestMs?: number;
  /** The cutoff that asks for it. */
  cutoff?: string;
  /** Each cutoff by itself; undefined when it can't be met with that confidence. */
  byCutoff: { id: string; latestMs?: number }[];
}

/** Latest times computed in slices, as a forecast is: those of every checkpoint, by confidence. */
export type LatestRun = Run<LatestTime[][]>;

/** Latest moments of one ascent at the stances before the legs left, for one cutoff. */
interface Backwards {
  cutoff: ForecastCutoff;
  byMin: number;
  /** First leg that needn't be done for this cutoff. */
  endLeg: number;
  wayOut: boolean;
  /** By stance (before leg state.leg + i), then by ascent. */
  columns: Float64Array[];
}

function backwards(c: Compiled, cutoff: ForecastCutoff): Backwards | undefined {
  const { target } = cutoff;
  const toRoad = target === 'down' || target === 'trailhead';
  let endLeg = c.legs.length;
  if (typeof target === 'object') {
    const index = c.input.pitches.findIndex((pitch) => pitch.number === target.pitch);
    endLeg = c.legs.findIndex((leg) => leg.first <= index && index <= leg.last) + 1;
  }
  if (endLeg <= c.state.leg && !(toRoad && endLeg === c.legs.length)) return undefined;
  return {
    cutoff,
    byMin: (cutoff.atMs - c.input.nowMs) / 60000,
    endLeg,
    wayOut: toRoad,
    columns: Array.from(
      { length: endLeg - c.state.leg + 1 },
      () => new Float64Array(c.input.ascents),
    ),
  };
}

/**
 * One ascent backwards from the cutoff. Every step forwards keeps the order of times, so the latest
 * start of a leg is the latest that ends in time for the latest start of the next one.
 */
function walkBack(c: Compiled, a: Ascent, b: Backwards, i: number): void {
  let t = b.wayOut
    ? latestTop(
        c.rules,
        latestBegin(c.wayOut.clock, b.byMin, a.descentMin),
        lastLegMin(c, a, b.endLeg),
      )
    : b.byMin;
  for (let k = b.endLeg; k >= c.state.leg; k--) {
    (b.columns[k - c.state.leg] as Float64Array)[i] = t;
    if (k === c.state.leg) break;
    t = latestBefore(c, a, k - 1, latestBegin(c.clock, t, a.workMin[k - 1] as number));
  }
}

/** Latest moment to stand before leg `k` that has to begin by `byMin`. */
function latestBefore(c: Compiled, a: Ascent, k: number, byMin: number): number {
  const { rules, state } = c;
  const offMin = c.rain ? latestDry(rules, a.rain, k, byMin, a.scale) : byMin;
  // Nobody sets off before a hold is over, so what needs an earlier start can't be met.
  if (offMin < state.resumeMin) return Number.NEGATIVE_INFINITY;
  if (k > state.leg) return latestReady(rules, k, offMin, a.scale, lastLegMin(c, a, k));
  // Where the party is now it has come already, and its night counts from then.
  if (firstOff(rules, state, a.scale) > offMin) return Number.NEGATIVE_INFINITY;
  return latestOn(rules, k, offMin, a.scale);
}

/** The largest time that at least `confidence` of the ascents can afford. */
function latestAt(confidence: number, column: Float64Array, room: Float64Array): number {
  const n = column.length;
  const share = (n - rankOf(confidence, n)) / n;
  const [late] = quantilesOf(column, [share], room) as [number];
  return late;
}

function* gather(
  c: Compiled,
  all: readonly Backwards[],
  confidence: number,
): Generator<void, LatestTime[]> {
  const first = c.underWay ? c.state.leg + 1 : c.state.leg;
  const out: LatestTime[] = [];
  const room = new Float64Array(c.input.ascents);
  for (let k = first; k <= c.legs.length; k++) {
    const own = all.filter((b) => k <= b.endLeg);
    const byCutoff: { id: string; min: number; latestMs?: number }[] = [];
    for (const b of own) {
      const min = latestAt(confidence, b.columns[k - c.state.leg] as Float64Array, room);
      const latestMs = Math.floor(c.input.nowMs + min * 60000);
      byCutoff.push({ id: b.cutoff.id, min, ...(min >= 0 ? { latestMs } : {}) });
      yield;
    }
    let least: (typeof byCutoff)[number] | undefined;
    for (const entry of byCutoff) if (!least || entry.min < least.min) least = entry;
    const last = k > 0 ? c.input.pitches[c.legs[k - 1]?.last ?? -1] : undefined;
    out.push({
      pitch: last?.number ?? 0,
      ...(least?.latestMs !== undefined ? { latestMs: least.latestMs } : {}),
      ...(least ? { cutoff: least.id } : {}),
      byCutoff: byCutoff.map(({ id, latestMs }) =>
        latestMs === undefined ? { id } : { id, latestMs },
      ),
    });
  }
  return out;
}

/**
 * Begins the latest times of every checkpoint ahead: the latest moment to stand there and still meet
 * each cutoff with the trip's confidence. Every ascent is run backwards once for each cutoff, with the
 * same luck at every checkpoint, so the times grow along the route, and dropping a cutoff never makes
 * one earlier. Pace is what is believed now; being late by a hold or a late start says nothing of it.
 *
 * @param confidences chances wanted, 0.5–0.99; the ascents are run once for all of them
 */
export function startLatestTimes(
  input: ForecastInput,
  confidences: readonly number[] = [input.confidence],
): LatestRun {
  const c = compile(input);
  const tables = legTables(c);
  const a = newAscent(c);
  const all = input.cutoffs.flatMap((cutoff) => backwards(c, cutoff) ?? []);
  let next = 0;
  const draw = (ascents: number): boolean => {
    const end = Math.min(input.ascents, next + ascents);
    for (; next < end; next++) {
      drawAscent(c, tables, a, next);
      for (const b of all) walkBack(c, a, b, next);
    }
    return next >= input.ascents;
  };
  return sliced(draw, function* () {
    const out: LatestTime[][] = [];
    for (const confidence of confidences) out.push(yield* gather(c, all, confidence));
    return out;
  });
}

/** Latest times at once. */
export function latestTimes(input: ForecastInput): LatestTime[] {
  return atOnce(startLatestTimes(input))[0] as LatestTime[];
}
