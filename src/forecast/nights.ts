import type { Settings } from './defaults.ts';
import type { Leg } from './legs.ts';
import type { ForecastInput, ForecastPitch } from './model.ts';

/**
 * When a party sets off from a stance, and when it sleeps there. All times are minutes since now.
 *
 * The rule, by stance and day, is one limit: ready by the limit, the party goes on at once; later, it
 * waits for the next day's planned start. The limit is
 * - where the party can sleep: the stop-climbing time, or earlier by what is expected up to the last
 *   lead before the next such place (at most `stopEarlyMaxMin`), because nobody leaves a good ledge
 *   to be caught without one;
 * - where it can't: none, when a place to sleep or the top is within `pushMaxMin` in the dark;
 *   otherwise the stop-climbing time, and the night is sat out where the party is.
 * A limit keeps the order of times: a party ready later never sets off earlier. Tiredness after a short
 * night would break that and has no source, so it is left out.
 */
export interface NightRules {
  /** Start and stop of climbing, a day each; starts grow, and a stop lies before the next start. */
  startMin: Float64Array;
  stopMin: Float64Array;
  /** By leg to be begun: 1 where the party can sleep before it. Leg 0 is begun from the ground. */
  refuge: Uint8Array;
  /** Expected minutes, at learnt pace, up to the start of the last lead before the next refuge. */
  earlyMin: Float64Array;
  /** Expected minutes in the dark to the next refuge or the top. */
  pushMin: Float64Array;
  stopEarlyMaxMin: number;
  pushMaxMin: number;
}

/** A start told this long before the planned one makes the day begin then. */
const EARLY_START_MIN = 180;

/** Whether the whole party can lie down at the end of a pitch. A ledge without a count is taken to be large enough. */
export function canSleep(pitch: Pick<ForecastPitch, 'bivy'>, partySize: number): boolean {
  if (pitch.bivy.kind === 'none') return false;
  return pitch.bivy.kind === 'portaledge' || (pitch.bivy.places ?? partySize) >= partySize;
}

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
  const refuge = new Uint8Array(n + 1);
  const earlyMin = new Float64Array(n + 1);
  const pushMin = new Float64Array(n + 1);
  const plan = new Set(input.bivyPlan ?? []);
  refuge[0] = 1;
  // The top ends the search for a place like a refuge does.
  refuge[n] = 1;
  for (let k = n - 1; k >= 0; k--) {
    const before = k > 0 ? input.pitches[(legs[k - 1] as Leg).last] : undefined;
    if (before) refuge[k] = canSleep(before, input.partySize) ? 1 : 0;
    const own = expectedMin[k] as number;
    const onward = refuge[k + 1] === 1;
    earlyMin[k] = onward ? 0 : own + (earlyMin[k + 1] as number);
    pushMin[k] = own * s.darkFactor + (onward ? 0 : (pushMin[k + 1] as number));
  }
  // Last, so that a planned night doesn't count as a long way for the stances below it.
  for (let k = 1; k < n; k++) {
    const before = input.pitches[(legs[k - 1] as Leg).last];
    if (before && refuge[k] === 1 && plan.has(before.number)) {
      earlyMin[k] = Number.POSITIVE_INFINITY;
    }
  }
  return {
    ...dayTimes(input),
    refuge,
    earlyMin,
    pushMin,
    stopEarlyMaxMin: s.stopEarlyMaxMin,
    pushMaxMin: s.pushMaxMin,
  };
}

/** The day a moment belongs to: the last one begun by then; −1 before the first. */
export function dayOf(startMin: Float64Array, atMin: number): number {
  let d = startMin.length - 1;
  while (d >= 0 && (startMin[d] as number) > atMin) d--;
  return d;
}

/** Latest moment of day `d` at which a party at the stance before leg `k` goes on. */
export function goOnLimit(rules: NightRules, k: number, d: number, scale: number): number {
  const stop = rules.stopMin[d] as number;
  if (rules.refuge[k] === 1) {
    const early = Math.min((rules.earlyMin[k] as number) * scale, rules.stopEarlyMaxMin);
    return Math.max(stop - early, rules.startMin[d] as number);
  }
  return scale * (rules.pushMin[k] as number) <= rules.pushMaxMin ? Number.POSITIVE_INFINITY : stop;
}

/** The next day's start after a moment; Infinity when the days given run out. */
export function nextStart({ startMin }: NightRules, atMin: number): number {
  return startMin[dayOf(startMin, atMin) + 1] ?? Number.POSITIVE_INFINITY;
}

/**
 * When a party ready at `atMin` at the stance before leg `k` sets off: at once, or at the start of the
 * next day; Infinity when the days given run out.
 *
 * @param scale pace against the expected one: what a slow party expects grows with it
 */
export function setOff(rules: NightRules, k: number, atMin: number, scale: number): number {
  const d = dayOf(rules.startMin, atMin);
  if (d >= 0 && atMin <= goOnLimit(rules, k, d, scale)) return atMin;
  return nextStart(rules, atMin);
}

/**
 * The latest moment to be ready at the stance before leg `k` and still set off by `byMin`: `setOff`
 * backwards. Minus infinity when even the first day's start is too late.
 */
export function latestReady(rules: NightRules, k: number, byMin: number, scale: number): number {
  const d = dayOf(rules.startMin, byMin);
  if (d < 0) return Number.NEGATIVE_INFINITY;
  return Math.min(byMin, goOnLimit(rules, k, d, scale));
}
