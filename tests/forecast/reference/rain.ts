import type { ForecastInput } from '../../../src/forecast/model.ts';
import type { Random } from './random.ts';
import { setting } from './stages.ts';

/** A stretch of rain as drawn. */
export interface RefRain {
  fromMs: number;
  toMs: number;
}

/** The normal distribution function by the series of Marsaglia (2004, J. Stat. Softw. 11/4). */
export function below(x: number): number {
  if (x < -8) return 0;
  if (x > 8) return 1;
  let sum = x;
  let term = x;
  for (let i = 3; sum + term !== sum; i += 2) {
    term *= (x * x) / i;
    sum += term;
  }
  return 0.5 + (sum * Math.exp(-0.5 * x * x)) / Math.sqrt(2 * Math.PI);
}

/** Rain of one ascent, spell after spell: each remembers the one before by so much an hour. */
export function refRain(input: ForecastInput, random: Random): RefRain[] {
  const out: RefRain[] = [];
  let memory = 0;
  let middleMs: number | undefined;
  for (const { fromMs, toMs, chance } of input.rain ?? []) {
    const middle = fromMs + (toMs - fromMs) / 2;
    const much =
      middleMs === undefined
        ? 0
        : setting(input, 'rainPersistence') ** ((middle - middleMs) / 3_600_000);
    memory = much * memory + Math.sqrt(1 - much ** 2) * random.normal();
    middleMs = middle;
    if (below(memory) < chance) out.push({ fromMs, toMs });
  }
  return out;
}

/** When the rock may be climbed on, from a moment on. */
export function dryFrom(input: ForecastInput, rains: readonly RefRain[], ms: number): number {
  const hold = (input.wetHours ?? 0) * 3_600_000;
  if (hold === 0) return ms;
  const wet = rains.filter((r) => r.fromMs <= ms && ms < r.toMs + hold);
  return wet.length === 0 ? ms : Math.max(...wet.map((r) => r.toMs + hold));
}
