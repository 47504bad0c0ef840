import type { Weather, WeatherSpell } from './kinds/weather.ts';
import type { TripState } from './state.ts';

/** The rain of a spell is worth counting from here on, 0–1; below it nobody plans by it. */
const LEAST = 0.01;

/**
 * The weather that holds: what somebody typed, as long as any of it lies ahead, before what was fetched, because
 * whoever types it has looked at the sky or at a better forecast.
 */
export function weatherNow(state: TripState, nowMs: number): Weather | undefined {
  const { typed, fetched } = state.weather;
  const ahead = (w: Weather | undefined) => w?.spells.some((s) => s.toMs > nowMs) === true;
  if (ahead(typed)) return typed;
  return ahead(fetched) ? fetched : undefined;
}

/** A spell with the chance of rain, as the forecast takes it. */
export type RainAhead = Pick<WeatherSpell, 'fromMs' | 'toMs'> & { chance: number };

/**
 * Rain as it was told for the time ahead. While it rains by the log, what is told for now is that rain: it is left
 * out here, and `rainUntil` says when it ends.
 */
export function rainAhead(state: TripState, nowMs: number): RainAhead[] {
  const untilMs = rainUntil(state, nowMs);
  return wetSpells(state, nowMs).filter((s) => untilMs === undefined || s.fromMs >= untilMs);
}

/** When the rain that falls by the log ends, by the weather that was told; now where nothing says so, undefined while it is dry. */
export function rainUntil(state: TripState, nowMs: number): number | undefined {
  const last = state.rains.at(-1);
  if (last === undefined || last.toMs !== undefined || last.fromMs > nowMs) return undefined;
  let endMs = nowMs;
  // It rains by now, so an hour that was even odds is taken to be wet, and so on to the first that is not.
  for (const { fromMs, toMs, chance } of wetSpells(state, nowMs)) {
    if (fromMs <= endMs && toMs > endMs && chance >= 0.5) endMs = toMs;
  }
  return endMs;
}

function wetSpells(state: TripState, nowMs: number): RainAhead[] {
  const spells = weatherNow(state, nowMs)?.spells ?? [];
  return spells
    .flatMap(({ fromMs, toMs, rain: chance }) =>
      chance === undefined || chance < LEAST ? [] : [{ fromMs, toMs, chance }],
    )
    .sort((a, b) => a.fromMs - b.fromMs);
}
