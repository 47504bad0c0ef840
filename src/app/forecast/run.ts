import type { QuickForecast } from '../../forecast/forecast.ts';
import { forecastInput } from '../../forecast/input.ts';
import { type ForecastJob, type Made, startJob } from '../../forecast/jobs.ts';
import type { LatestTime } from '../../forecast/latest.ts';
import type { Forecast, ForecastInput } from '../../forecast/model.ts';
import { afterSilence, knownUntil, silentSince } from '../../forecast/silence.ts';
import type { Run } from '../../forecast/sliced.ts';
import type { TripState } from '../../trip/state.ts';
import type { App } from '../app.ts';
import { unlessCostly } from './costly.ts';

/**
 * Others get their turn after this long, or this many ascents where the clock stands still; so that
 * nobody waits long while an answer is computed. A step takes well under a millisecond.
 */
const TURN_MS = 10;
const TURN_ASCENTS = 400;
const STEP = 20;

type Forecasting = Pick<App, 'clock' | 'forecasts'>;

/** The forecast of a trip at a moment; undefined without a topo. Gives others their turn between slices. */
export async function forecastOf(
  app: Forecasting,
  state: TripState,
  nowMs: number,
): Promise<Forecast | undefined> {
  if (state.pitches.length === 0) return undefined;
  const now = Math.floor(nowMs / 60_000) * 60_000;
  const heardMs = silentSince(state, now);
  if (heardMs === undefined) return forecastAt(app, state, now, now);
  const expected = await forecastAt(app, state, now, heardMs);
  const untold = await forecastAt(app, state, now, knownUntil(state, expected, now));
  return afterSilence(expected, untold, heardMs, now);
}

/**
 * The same beside something that matters more: a post that is recorded, an alarm, a page. Undefined also where the
 * forecast takes more than it may; it is left out then.
 */
export function forecastBeside(
  app: Forecasting,
  state: TripState,
  nowMs: number,
): Promise<Forecast | undefined> {
  return unlessCostly(forecastOf(app, state, nowMs));
}

/** The forecast by what is known until a moment. */
function forecastAt(
  app: Forecasting,
  state: TripState,
  nowMs: number,
  knownMs: number,
): Promise<Forecast> {
  return runForecast(app, forecastInput(state, nowMs, { knownMs }));
}

/** What the one line after a post shows, or one about a plan that is only being thought about. */
export function runQuick(app: Forecasting, input: ForecastInput): Promise<QuickForecast> {
  return run(app, { asked: 'quick', input });
}

function runForecast(app: Forecasting, input: ForecastInput): Promise<Forecast> {
  return run(app, { asked: 'whole', input });
}

/**
 * Runs one small forecast, so that the first one a person waits for is as quick as the rest: the
 * first in a process takes several times as long while the code is being compiled.
 */
export async function warmUp(app: Forecasting): Promise<void> {
  const pitch = { lengthM: 40, leader: 0, stance: 'hanging', bivy: { kind: 'none' } } as const;
  const nowMs = 0;
  await runForecast(app, {
    seed: 1,
    nowMs,
    climbers: [{ id: 'a', name: 'a' }],
    partySize: 2,
    haulBag: true,
    pitches: Array.from({ length: 12 }, (_, i) => ({
      ...pitch,
      number: i + 1,
      mode: i % 2 === 0 ? ('free' as const) : ('aid' as const),
    })),
    departed: false,
    days: [0, 1, 2, 3].map((d) => ({ startMs: d * 864e5, stopMs: d * 864e5 + 5e7 })),
    descent: { kind: 'given', min: 90 },
    cutoffs: [{ id: '1', kind: 'own', label: '', atMs: 5e7, target: 'topout' }],
    confidence: 0.9,
    ascents: 1000,
    settings: {},
  });
}

/** Latest times of every checkpoint ahead, for each of the chances wanted. */
export function runLatest(
  app: Forecasting,
  input: ForecastInput,
  confidences: readonly number[],
): Promise<LatestTime[][]> {
  return run(app, { asked: 'latest', input, confidences });
}

function run<K extends keyof Made>(app: Forecasting, job: ForecastJob<K>): Promise<Made[K]> {
  return app.forecasts.of(job, () => finished(app.clock, startJob(job)));
}

async function finished<T>(clock: App['clock'], run: Run<T>): Promise<T> {
  let since = clock.monoMs();
  let ascents = 0;
  while (!run.step(STEP)) {
    ascents += STEP;
    if (ascents < TURN_ASCENTS && clock.monoMs() - since < TURN_MS) continue;
    await clock.sleep(0);
    since = clock.monoMs();
    ascents = 0;
  }
  // What comes of it takes a turn of its own, and so does what is made of that.
  await clock.sleep(0);
  const result = run.result();
  await clock.sleep(0);
  return result;
}
