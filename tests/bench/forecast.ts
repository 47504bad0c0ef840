import { performance } from 'node:perf_hooks';
import { compile } from '../../src/forecast/compile.ts';
import { forecast, quickForecast, startForecast } from '../../src/forecast/forecast.ts';
import { ASCENTS } from '../../src/forecast/input.ts';
import { latestTimes, startLatestTimes } from '../../src/forecast/latest.ts';
import type { ForecastInput } from '../../src/forecast/model.ts';
import { quantilesOf } from '../../src/forecast/quantiles.ts';
import { expFast, fillNormals, nextUniform, randomState } from '../../src/forecast/random.ts';
import { drawnAscents } from '../forecast/ascents.ts';
import { bigWall, days, MIN_MS, route, trip } from '../forecast/fixture.ts';
import { afterPosts, calibrate, climbs } from '../forecast/reference/climb.ts';
import { benchPublished } from './forecast-published.ts';
import type { Figure } from './order.ts';

/** Best of several runs: what the work costs when nothing else runs. */
function bestMs(runs: number, work: () => void): number {
  let best = Number.POSITIVE_INFINITY;
  for (let i = 0; i < runs; i++) {
    const start = performance.now();
    work();
    best = Math.min(best, performance.now() - start);
  }
  return best;
}

/** The lognormals a forecast draws, and nothing else: by the program's own generator. */
function ownDraws(ascents: number, count: number): number {
  const z = new Float64Array(count);
  let sum = 0;
  for (let i = 0; i < ascents; i++) {
    fillNormals(z, count, 1, i);
    for (let j = 0; j < count; j++) sum += expFast(3 + 0.3 * (z[j] as number));
  }
  return sum;
}

/** As many, the way they are usually written: Box–Muller and Math.exp on the same uniforms. */
function plainDraws(ascents: number, count: number): number {
  let sum = 0;
  for (let i = 0; i < ascents; i++) {
    const state = randomState(1, i);
    for (let j = 0; j < count; j += 2) {
      const radius = Math.sqrt(-2 * Math.log(nextUniform(state)));
      const angle = 2 * Math.PI * nextUniform(state);
      sum += Math.exp(3 + 0.3 * radius * Math.cos(angle));
      sum += Math.exp(3 + 0.3 * radius * Math.sin(angle));
    }
  }
  return sum;
}

/** Slope of log cost over log size: 1 is linear. */
function slope(sizes: readonly number[], cost: (size: number) => number): number {
  const points = sizes.map((size) => [Math.log(size), Math.log(cost(size))] as const);
  const mean = (i: 0 | 1): number => points.reduce((sum, p) => sum + p[i], 0) / points.length;
  const [mx, my] = [mean(0), mean(1)];
  const top = points.reduce((sum, [x, y]) => sum + (x - mx) * (y - my), 0);
  return top / points.reduce((sum, [x]) => sum + (x - mx) ** 2, 0);
}

async function* cost(): AsyncGenerator<Figure> {
  const input = bigWall({ ascents: ASCENTS });
  const cold = bestMs(1, () => quickForecast(input));
  yield {
    name: 'forecast_line_first_time_in_process',
    value: cold,
    unit: 'ms',
    against: 'warm: below',
  };
  for (let i = 0; i < 12; i++) forecast(input);
  const full = bestMs(15, () => forecast(input));
  const { count } = compile(input).layout;
  const own = bestMs(15, () => ownDraws(input.ascents, count));
  const plain = bestMs(15, () => plainDraws(input.ascents, count));
  const what = `30 pitches, 3 days, ${input.ascents} ascents, 4 cutoffs; ${count} lognormals an ascent`;
  yield { name: 'forecast_full', value: full, unit: 'ms', against: what };
  yield { name: 'forecast_over_plain_draws', value: full / plain, unit: '×', against: 'at most 3' };
  const quicker = 'no bound: the program draws them quicker than plain JavaScript does';
  yield { name: 'forecast_over_own_draws', value: full / own, unit: '×', against: quicker };
  const line = bestMs(15, () => quickForecast(input));
  yield { name: 'forecast_line', value: line, unit: 'ms', against: 'at most 60' };
  const latest = bestMs(9, () => latestTimes(input));
  yield { name: 'forecast_latest_times', value: latest, unit: 'ms', against: 'at most 300' };
  const byAscents = slope([1000, 2000, 4000, 8000], (ascents) =>
    bestMs(7, () => forecast({ ...input, ascents })),
  );
  yield {
    name: 'forecast_slope_by_ascents',
    value: byAscents,
    unit: 'log/log',
    against: '1 is linear',
  };
  const byPitches = slope([15, 30, 60, 120], (n) =>
    bestMs(7, () => forecast({ ...input, pitches: route(n, 6), days: days(24), ascents: 2000 })),
  );
  yield {
    name: 'forecast_slope_by_pitches',
    value: byPitches,
    unit: 'log/log',
    against: '1 is linear',
  };
  yield* slices(input);
}

/**
 * The longest time nothing else gets a turn, over twenty whole runs in slices of 100: by the clock, and
 * by the processor's time, which other programs on the machine can't lengthen.
 */
async function* slices(input: ForecastInput): AsyncGenerator<Figure> {
  let longest = 0;
  let longestCpu = 0;
  const timed = <T>(work: () => T): T => {
    const cpu = process.cpuUsage();
    const start = performance.now();
    const out = work();
    longest = Math.max(longest, performance.now() - start);
    const { user, system } = process.cpuUsage(cpu);
    longestCpu = Math.max(longestCpu, (user + system) / 1000);
    return out;
  };
  for (let i = 0; i < 20; i++) {
    const run = timed(() => startForecast(input));
    while (!timed(() => run.step(100)));
    timed(() => run.result());
    const latest = timed(() => startLatestTimes(input));
    while (!timed(() => latest.step(100)));
    timed(() => latest.result());
  }
  yield { name: 'forecast_longest_slice', value: longest, unit: 'ms', against: 'at most 10' };
  yield {
    name: 'forecast_longest_slice_cpu',
    value: longestCpu,
    unit: 'ms',
    against: 'at most 10',
  };
}

/** Plain ascents a forecast is held against: two million, because one leaves over a minute of its own noise. */
const PLAIN = 2_000_000;

/** Quantiles of ascents drawn one by one, by chance alone; in parts, so that memory stays small. */
function plainQuantiles(input: ForecastInput): number[] {
  const all = new Float64Array(PLAIN);
  const part = 20_000;
  for (let i = 0; i < PLAIN / part; i++) {
    const columns = drawnAscents({ ...input, seed: 77_000 + i }, part);
    all.set(columns.at(-1) as Float64Array, i * part);
  }
  return quantilesOf(all, [0.1, 0.5, 0.9]);
}

/** How far a forecast's quantiles lie from the plain ascents', before the start and after so many pitches. */
async function* accuracy(): AsyncGenerator<Figure> {
  const against = `at most 2 min or 2 % of the 80 % interval from ${PLAIN} plain ascents; 30 pitches, two climbs`;
  const all = climbs(bigWall({ ascents: ASCENTS }), 2, 20310612);
  let worst = 0;
  for (const done of [0, 1, 5, 15, 25]) {
    const errors = all.map((climb) => {
      const input = afterPosts(climb, done, 'all');
      const plain = plainQuantiles(input);
      const found = Object.values(forecast(input).topout);
      return found.map((ms, q) => (ms - input.nowMs) / MIN_MS - (plain[q] as number));
    });
    for (const [q, label] of ['q10', 'q50', 'q90'].entries()) {
      const error = Math.max(...errors.map((one) => Math.abs(one[q] as number)));
      worst = Math.max(worst, error);
      const name = `forecast_error_after_${done}_${label}`;
      yield { name, value: error, unit: 'min', against };
    }
  }
  yield { name: 'forecast_error_worst', value: worst, unit: 'min', against };
}

const CLIMBS = 2000;

async function* calibration(): AsyncGenerator<Figure> {
  const input = trip({ pitches: route(12), days: days(9), ascents: 400 });
  const all = climbs(input, CLIMBS, 90210);
  const against = `${CLIMBS} climbs of 12 pitches, hidden pace, completions posted only`;
  for (let done = 0; done < 12; done++) {
    const row = calibrate(all, done, 'done');
    const name = `forecast_calibration_after_${done}`;
    yield {
      name: `${name}_held`,
      value: row.held,
      unit: 'share',
      against: `0.80 ± 0.03; ${against}`,
    };
    yield { name: `${name}_median_error`, value: row.medianErrorMin, unit: 'min', against };
    yield { name: `${name}_interval_width`, value: row.widthMin, unit: 'min', against };
    // One row takes seconds; whoever reads along gets each as it is done.
    await Promise.resolve();
  }
}

/** The forecast: what it costs, how near its quantiles are, whether its intervals hold, and published timings. */
export async function* benchForecast(): AsyncGenerator<Figure> {
  yield* cost();
  yield* accuracy();
  yield* calibration();
  yield* benchPublished();
}
