import { bedAt, nightWork } from './beds.ts';
import type { Settings } from './defaults.ts';
import type { Leg } from './legs.ts';
import type { ForecastInput } from './model.ts';
import { type NightRules, NO_NIGHT } from './nights.ts';

/** A start told this long before the planned one makes the day begin then. */
const EARLY_START_MIN = 180;

function toldStarts(input: ForecastInput): number[] {
  const told = input.pitches.flatMap((p) => (p.actual?.startedAtMs ?? []) as number | never[]);
  for (const pause of input.pauses ?? []) told.push(pause.toMs);
  if (input.settled) told.push(input.settled.untilMs);
  return told;
}

/** Days as arrays, with a day begun early where a start was told before the planned one. */
function dayTimes(input: ForecastInput): { startMin: Float64Array; stopMin: Float64Array } {
  const days = [...input.days].sort((a, b) => a.startMs - b.startMs);
  const min = (ms: number): number => (ms - input.nowMs) / 60000;
  const startMin = Float64Array.from(days, (day) => min(day.startMs));
  const stopMin = Float64Array.from(days, (day) => min(day.stopMs));
  for (let d = 0; d < days.length; d++) {
    const start = startMin[d] as number;
    const next = startMin[d + 1] ?? Number.POSITIVE_INFINITY;
    stopMin[d] = Math.min(Math.max(stopMin[d] as number, start), next);
  }
  for (const toldMs of toldStarts(input)) {
    const told = min(toldMs);
    const d = startMin.findIndex((start) => start > told);
    const stopBefore = d > 0 ? (stopMin[d - 1] as number) : Number.NEGATIVE_INFINITY;
    if (d >= 0 && told > stopBefore && (startMin[d] as number) - told <= EARLY_START_MIN) {
      startMin[d] = told;
    }
  }
  // On the first day whatever was told, or is planned, comes before any rule.
  const first = [input.plannedStartMs, ...input.pitches.map((p) => p.actual?.doneAtMs)];
  for (const ms of first) {
    if (ms !== undefined) startMin[0] = Math.min(startMin[0] as number, min(ms));
  }
  return { startMin, stopMin };
}

/** Where the party can sleep, where it means to, and what a night takes there: by leg to be begun. */
function stances(input: ForecastInput, legs: readonly Leg[], s: Settings) {
  const n = legs.length;
  const bed = new Uint8Array(n + 1);
  const nightDay = new Int32Array(n + 1).fill(NO_NIGHT);
  const refuge = new Uint8Array(n + 1);
  const restMin = new Float64Array(n + 1);
  const nights = new Map(input.plan?.nights.map((night) => [night.pitch, night]));
  for (let k = 1; k <= n; k++) {
    const pitch = input.pitches[(legs[k - 1] as Leg).last];
    if (!pitch) continue;
    const on = bedAt(pitch, input);
    const night = nights.get(pitch.number);
    const { eveningMin, morningMin } = night ?? nightWork(on, s);
    bed[k] = on ? 1 : 0;
    nightDay[k] = night?.day ?? NO_NIGHT;
    refuge[k] = (on || night) && !isPassed(pitch.number, input) ? 1 : 0;
    restMin[k] = eveningMin + s.leastRestMin + morningMin;
  }
  for (const k of [0, n]) {
    bed[k] = 1;
    refuge[k] = 1;
  }
  return { bed, nightDay, refuge, restMin };
}

/** They go on through the dark past that stance. */
function isPassed(pitch: number, { darkTo }: ForecastInput): boolean {
  return darkTo !== undefined && pitch < darkTo;
}

/**
 * Works out the rules for every stance.
 *
 * @param expectedMin expected minutes of each leg at learnt pace
 */
export function nightRules(
  input: ForecastInput,
  legs: readonly Leg[],
  expectedMin: readonly number[],
  s: Settings,
): NightRules {
  const n = legs.length;
  const places = stances(input, legs, s);
  const earlyMin = new Float64Array(n + 1);
  const pushMin = new Float64Array(n + 1);
  for (let k = n - 1; k >= 0; k--) {
    const own = expectedMin[k] as number;
    const there = places.refuge[k + 1] === 1;
    earlyMin[k] = own + (there ? 0 : (earlyMin[k + 1] as number));
    const below = input.pitches[legs[k - 1]?.last ?? -1]?.number ?? 0;
    pushMin[k] = isPassed(below, input)
      ? 0
      : own * s.darkFactor + (there ? 0 : (pushMin[k + 1] as number));
  }
  return {
    ...dayTimes(input),
    ...places,
    legMin: Float64Array.from(expectedMin),
    earlyMin,
    pushMin,
    stopEarlyMaxMin: s.stopEarlyMaxMin,
    pushMaxMin: s.pushMaxMin,
  };
}
