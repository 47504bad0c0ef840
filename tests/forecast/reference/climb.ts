import { quickForecast } from '../../../src/forecast/forecast.ts';
import type { ForecastInput, ForecastPitch } from '../../../src/forecast/model.ts';
import { at, MIN_MS } from '../fixture.ts';
import { refBelief } from './pace.ts';
import { reference } from './random.ts';
import { prepare, type RefAscent, refAscent } from './simulate.ts';
import { type RefLeg, refLegs, type Stage, setting } from './stages.ts';

/** What a party posts: completions only, or starts and fixed lines too. */
export type Posting = 'done' | 'all';

/** One synthetic climb: the trip as planned, and how it went, with a pace nobody was told. */
export interface Climb {
  input: ForecastInput;
  truth: RefAscent;
}

/** How climbs differ from the model that forecasts them. */
export interface Misfit {
  /** The pitches' own noise, times the model's. */
  noise?: number;
  /** From half way on everything takes so many times as long. */
  jump?: number;
}

/** Climbs drawn from the model by the reference's own code: the pace hidden, from the prior. */
export function climbs(
  given: ForecastInput,
  count: number,
  seed: number,
  { noise = 1, jump = 1 }: Misfit = {},
): Climb[] {
  const sigmaPitch = noise * setting(given, 'sigmaPitch');
  const input = { ...given, settings: { ...given.settings, sigmaPitch } };
  const legs = refLegs(input).map((leg, k, all) => (k < all.length / 2 ? leg : slowed(leg, jump)));
  const prior = refBelief(input, []);
  const random = reference(seed);
  prepare(input, legs, prior, random);
  const start = { leg: 0, atMs: input.plannedStartMs ?? at(0, 7) };
  return Array.from({ length: count }, (_, i) => ({
    input: { ...given, seed: seed + i },
    truth: refAscent(input, legs, prior, start, random) as RefAscent,
  }));
}

function slowed(leg: RefLeg, by: number): RefLeg {
  const slow = <T extends Stage | undefined>(stage: T): T =>
    stage && { ...stage, median: stage.median * by };
  const { lead, fix, haul, follow, change, third } = leg;
  const stages = { lead: slow(lead), fix: slow(fix), haul: slow(haul), follow: slow(follow) };
  return { ...leg, ...stages, change: slow(change), third: slow(third) };
}

const toMinute = (ms: number): number => Math.round(ms / MIN_MS) * MIN_MS;

/** The trip as the log tells it once `done` pitches are posted, at the moment of the last post. */
export function afterPosts(climb: Climb, done: number, posting: Posting): ForecastInput {
  const { input, truth } = climb;
  if (done === 0) return input;
  const pitches = input.pitches.map((pitch, i): ForecastPitch => {
    if (i >= done) return pitch;
    const doneAtMs = toMinute(truth.doneMs[i] as number);
    // The first start of a day is told by everybody: the night before it isn't climbing.
    const begin = truth.beginMs[i] as number;
    const newDay = i === 0 || begin - (truth.doneMs[i - 1] as number) > 60 * MIN_MS;
    const startedAtMs = toMinute(begin);
    const fixedAtMs = toMinute(truth.fixedMs[i] as number);
    const fixed = posting === 'all' && fixedAtMs > startedAtMs && fixedAtMs < doneAtMs;
    return {
      ...pitch,
      actual: {
        doneAtMs,
        ...(posting === 'all' || newDay ? { startedAtMs } : {}),
        ...(fixed ? { fixedAtMs } : {}),
      },
    };
  });
  const nowMs = toMinute(truth.doneMs[done - 1] as number);
  return { ...input, nowMs, departed: true, pitches };
}

/** How well the 80 % interval and the median did, after so many pitches. */
export interface Calibration {
  done: number;
  /** Share of climbs whose top-out fell between the 10 and the 90 % quantile. */
  held: number;
  below: number;
  above: number;
  /** Median of |projected − actual| top-out, minutes. */
  medianErrorMin: number;
  /** Median width of the interval, minutes. */
  widthMin: number;
}

const middle = (values: number[]): number =>
  values.sort((a, b) => a - b)[Math.floor(values.length / 2)] as number;

/** Forecasts every climb after `done` posts and holds the forecast against what happened. */
export function calibrate(all: readonly Climb[], done: number, posting: Posting): Calibration {
  let below = 0;
  let above = 0;
  const errors: number[] = [];
  const widths: number[] = [];
  for (const climb of all) {
    const { topout } = quickForecast(afterPosts(climb, done, posting));
    const actual = climb.truth.topoutMs;
    if (actual < topout.q10) below++;
    if (actual > topout.q90) above++;
    errors.push(Math.abs(actual - topout.q50) / MIN_MS);
    widths.push((topout.q90 - topout.q10) / MIN_MS);
  }
  return {
    done,
    held: 1 - (below + above) / all.length,
    below: below / all.length,
    above: above / all.length,
    medianErrorMin: middle(errors),
    widthMin: middle(widths),
  };
}
