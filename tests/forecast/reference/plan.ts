import type { ForecastInput } from '../../../src/forecast/model.ts';
import { type RefLeg, setting } from './stages.ts';

const MIN = 60_000;

/** What decides on a night: expected minutes of each leg at the ascent's pace, and the work of the last lead. */
export interface RefPace {
  expectedMin: number[];
  lastMin: number;
}

function stanceOf(input: ForecastInput, leg: RefLeg | undefined) {
  return leg && input.pitches[leg.pitches.at(-1) as number];
}

export function canSleepAfter(input: ForecastInput, leg: RefLeg | undefined): boolean {
  const pitch = stanceOf(input, leg);
  if (!pitch) return true;
  if (pitch.bivy.kind === 'portaledge') return (input.portaledgePlaces ?? 99) >= input.partySize;
  return pitch.bivy.kind === 'ledge' && (pitch.bivy.places ?? 99) >= input.partySize;
}

export function plannedAfter(input: ForecastInput, leg: RefLeg | undefined) {
  const number = stanceOf(input, leg)?.number;
  return input.plan?.nights.find((night) => night.pitch === number);
}

/** Evening, least rest and morning after that leg, minutes. */
export function nightMin(input: ForecastInput, leg: RefLeg | undefined): number {
  if (!leg) return 0;
  const own = plannedAfter(input, leg);
  const bed = canSleepAfter(input, leg) ? stanceOf(input, leg)?.bivy.kind : 'satOut';
  const evening = own?.eveningMin ?? setting(input, `${bed}EveningMin`);
  const morning = own?.morningMin ?? setting(input, `${bed}MorningMin`);
  return evening + setting(input, 'leastRestMin') + morning;
}

/** The first start of a day that isn't before `ms`. */
function firstStart(input: ForecastInput, ms: number): number {
  return input.days.find((day) => day.startMs >= ms)?.startMs ?? Number.POSITIVE_INFINITY;
}

/** Whether a party at the stance before leg k at `ms` goes on, stays, or would go on at any hour. */
function decides(
  input: ForecastInput,
  legs: RefLeg[],
  k: number,
  ms: number,
  { expectedMin }: RefPace,
): 'stays' | 'goes' | 'pushes' {
  const today = input.days.filter((day) => day.startMs <= ms).at(-1);
  if (!today) return 'stays';
  const endsDay = (leg: RefLeg | undefined): boolean =>
    canSleepAfter(input, leg) || plannedAfter(input, leg) !== undefined;
  let ahead = 0;
  for (let j = k; j < legs.length; j++) {
    ahead += expectedMin[j] as number;
    if (endsDay(legs[j])) break;
  }
  if (endsDay(legs[k - 1])) {
    const early = Math.min(ahead, setting(input, 'stopEarlyMaxMin'));
    return ms <= Math.max(today.startMs, today.stopMs - early * MIN) ? 'goes' : 'stays';
  }
  if (ahead * setting(input, 'darkFactor') <= setting(input, 'pushMaxMin')) return 'pushes';
  return ms <= today.stopMs ? 'goes' : 'stays';
}

/** When a party that is there goes on, in words: the rule at the head of nights.ts. */
export function goesOn(
  input: ForecastInput,
  legs: RefLeg[],
  k: number,
  ms: number,
  pace: RefPace,
): number {
  return decides(input, legs, k, ms, pace) === 'stays' ? firstStart(input, ms + 1e-3) : ms;
}

/** Whether a party that arrives after that leg at `ms` means to sleep there: on the night's day or before it. */
function meansTo(input: ForecastInput, leg: RefLeg | undefined, ms: number): boolean {
  const night = plannedAfter(input, leg);
  if (!night) return false;
  const dayAfter = input.days[night.day + 1]?.startMs ?? Number.POSITIVE_INFINITY;
  // Who comes at the very start of a day is taken to have come before it.
  return ms < dayAfter && !input.days.some((day) => day.startMs === ms);
}

/** When a party that arrives before leg k at `ms` sets off. */
export function setsOff(
  input: ForecastInput,
  legs: RefLeg[],
  k: number,
  ms: number,
  pace: RefPace,
): number {
  const rested = ms + nightMin(input, legs[k - 1]) * MIN;
  const does = meansTo(input, legs[k - 1], ms) ? 'stays' : decides(input, legs, k, ms, pace);
  if (does === 'pushes') return ms;
  const start =
    does === 'stays'
      ? firstStart(input, ms + 1e-3)
      : (input.days.filter((day) => day.startMs <= ms).at(-1)?.startMs as number);
  const comesBy = start + pace.lastMin * MIN;
  return goesOn(input, legs, k, Math.max(ms, start, Math.min(rested, comesBy)), pace);
}

/** When the way down begins: at once, or in the morning after a night planned on top. */
export function goesDown(
  input: ForecastInput,
  legs: RefLeg[],
  topoutMs: number,
  lastMin: number,
): number {
  const top = legs.at(-1);
  const night = plannedAfter(input, top);
  const dayAfter = input.days[(night?.day ?? 0) + 1]?.startMs ?? Number.POSITIVE_INFINITY;
  // A day later still, nobody has been up all night for it.
  if (!night || topoutMs >= dayAfter + 86_400_000) return topoutMs;
  const start = meansTo(input, top, topoutMs)
    ? firstStart(input, topoutMs)
    : (input.days.filter((day) => day.startMs <= topoutMs).at(-1)?.startMs as number);
  const rested = topoutMs + nightMin(input, top) * MIN;
  return Math.max(topoutMs, start, Math.min(rested, start + lastMin * MIN));
}
