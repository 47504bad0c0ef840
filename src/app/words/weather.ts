import type { Forecast } from '../../forecast/model.ts';
import type { Button } from '../../say/reply.ts';
import { clock, dayClock, duration } from '../../time/format.ts';
import { daysBetween, localDay } from '../../time/zone.ts';
import { SOURCE_NAMES, type Weather, type WeatherSpell } from '../../trip/kinds/weather.ts';
import type { TripState } from '../../trip/state.ts';
import type { LengthUnit } from '../../trip/units.ts';
import { weatherNow } from '../../trip/weather.ts';
import { exactTime } from '../when.ts';
import { oddsWords, percentWords, riskWords } from './odds.ts';

const KM_PER_MILE = 1.609344;
/** Twice as old as it gets while its service answers. */
const STALE_MIN = 6 * 60;

/** `Thu 22:00–Fri 03:00`. */
export function spellSpan(
  { zone }: Pick<TripState, 'zone'>,
  { fromMs, toMs }: Pick<WeatherSpell, 'fromMs' | 'toMs'>,
  nowMs: number,
): string {
  const sameDay = daysBetween(localDay(zone, fromMs), localDay(zone, toMs)) === 0;
  return `${dayClock(zone, fromMs, nowMs)}–${sameDay ? clock(zone, toMs) : dayClock(zone, toMs, nowMs)}`;
}

/** `40 km/h`; miles in a trip of feet. */
export function speedText(kmh: number, unit: LengthUnit): string {
  return unit === 'ft' ? `${Math.round(kmh / KM_PER_MILE)} mph` : `${Math.round(kmh)} km/h`;
}

/** `-2 °C`; Fahrenheit in a trip of feet. */
export function degreesText(celsius: number, unit: LengthUnit): string {
  return unit === 'ft' ? `${Math.round(celsius * 1.8 + 32)} °F` : `${Math.round(celsius)} °C`;
}

/** `typed 14:02 by Mara`, `MET Norway, 3 h old`. */
export function sourceWords(state: TripState, w: Weather, nowMs: number): string {
  if (w.from === 'typed') {
    const said = w.says === undefined ? '' : `“${w.says}”, `;
    return `${said}told ${dayClock(state.zone, w.atMs, nowMs)} by ${w.by.name}`;
  }
  const age = Math.max(0, nowMs - w.atMs) / 60_000;
  const stale = age < STALE_MIN ? '' : ', no newer answer since';
  return `${SOURCE_NAMES[w.from]}, ${age < 1 ? 'just fetched' : `${duration(age)} old`}${stale}`;
}

/** Kinds of weather, by what stands in a spell. */
type What = 'rain' | 'thunder' | 'windKmh' | 'gustKmh' | 'tempC';

/** Chances below this aren't worth a line; neither is a change of wind or warmth below these steps. */
const LEAST_CHANCE = 0.1;
const WIND_STEP = 15;
const DEGREE_STEP = 6;

/** A run of spells that say about the same of one thing, with the most that is said in it. */
interface RunOf {
  fromMs: number;
  toMs: number;
  least: number;
  most: number;
}

function runsOf(spells: readonly WeatherSpell[], what: What): RunOf[] {
  const out: RunOf[] = [];
  const step = what === 'tempC' ? DEGREE_STEP : what.endsWith('Kmh') ? WIND_STEP : 0.25;
  for (const spell of [...spells].sort((a, b) => a.fromMs - b.fromMs)) {
    const value = spell[what];
    if (value === undefined) continue;
    if ((what === 'rain' || what === 'thunder') && value < LEAST_CHANCE) continue;
    const last = out.at(-1);
    const joins =
      last !== undefined &&
      spell.fromMs <= last.toMs &&
      Math.max(last.most, value) - Math.min(last.least, value) <= step;
    if (joins) {
      last.toMs = Math.max(last.toMs, spell.toMs);
      last.most = Math.max(last.most, value);
      last.least = Math.min(last.least, value);
    } else out.push({ fromMs: spell.fromMs, toMs: spell.toMs, least: value, most: value });
  }
  return out;
}

function valueWords(what: What, run: RunOf, units: LengthUnit): string {
  if (what === 'rain' || what === 'thunder') {
    const name = what === 'rain' ? 'Rain' : 'Thunder';
    if (run.most >= 0.995) return `${name}, told as sure`;
    const most = percentWords(run.most);
    return `${name}, ${percentWords(run.least) === most ? '' : 'up to '}${most}`;
  }
  if (what === 'tempC') {
    const [low, high] = [degreesText(run.least, units), degreesText(run.most, units)];
    return low === high ? low : `${low.split(' ')[0]} to ${high}`;
  }
  const name = what === 'windKmh' ? 'Wind' : 'Gusts';
  return `${name} ${run.most === run.least ? '' : 'to '}${speedText(run.most, units)}`;
}

/** Lines of each kind; a card is read in gloves. */
const MOST_LINES = 3;

/** What is told for the time ahead, a line a spell: `Rain, 40 %: 22:00–Fri 03:00`. */
export function weatherLines(state: TripState, w: Weather, nowMs: number): string[] {
  const ahead = w.spells.filter((s) => s.toMs > nowMs);
  return (['rain', 'thunder', 'windKmh', 'gustKmh', 'tempC'] as const).flatMap((what) => {
    const runs = runsOf(ahead, what);
    const lines = runs
      .slice(0, MOST_LINES)
      .map((run) => `${valueWords(what, run, state.units)}: ${spellSpan(state, run, nowMs)}`);
    return runs.length > MOST_LINES ? [...lines, `… and ${runs.length - MOST_LINES} more`] : lines;
  });
}

/** Wind from here on, and cold to here, are worth a press of their own. Engineering choice. */
const STRONG_KMH = 30;
const COLD_C = 0;

/** A press for each thing that may bind, which makes its begin a cutoff: on top before it. */
export function weatherCutoffs(state: TripState, w: Weather, nowMs: number): Button[] {
  const ahead = w.spells.filter((s) => s.toMs > nowMs);
  const first = (what: What, binds: (run: RunOf) => boolean) =>
    runsOf(ahead, what).find((run) => binds(run) && run.fromMs > nowMs)?.fromMs;
  const found = [
    ['rain', first('rain', () => true)],
    ['thunder', first('thunder', () => true)],
    [
      'wind',
      first('windKmh', (r) => r.most >= STRONG_KMH) ??
        first('gustKmh', (r) => r.most >= STRONG_KMH),
    ],
    ['cold', first('tempC', (r) => r.least <= COLD_C)],
  ] as const;
  return found.flatMap(([label, fromMs]): Button[] => {
    if (fromMs === undefined || state.cutoffs.some((c) => c.atMs === fromMs)) return [];
    const at = dayClock(state.zone, fromMs, nowMs);
    return [
      {
        label: `On top before ${label} ${at}`,
        press: { path: 'cutoff add', options: { kind: 'weather', at: exactTime(fromMs), label } },
      },
    ];
  });
}

/**
 * What the rain that is told does to the climb: `On top before any rain: 2 in 3. Caught: 1 in 3, most likely after
 * pitch 7; then on top 26 h later.`
 */
export function rainWords(
  state: TripState,
  { rain }: Pick<Forecast, 'rain'>,
  nowMs: number,
): string | undefined {
  const weather = weatherNow(state, nowMs);
  if (rain === undefined || weather === undefined) return undefined;
  const falls = state.rains.at(-1)?.toMs === undefined && state.rains.length > 0;
  const dry = `On top before ${falls ? 'more' : 'any'} rain: ${oddsWords(rain.dryTop, state)}.`;
  if (rain.caught < 0.005) return dry;
  const { where, costMin } = rain;
  const place =
    where === undefined || where.chance < rain.caught / 3
      ? ''
      : where.pitch === 0
        ? ', on the ground'
        : where.pitch === state.pitches.length
          ? ', most likely on the last pitch'
          : `, most likely held after pitch ${where.pitch}`;
  const cost =
    state.settings.wetHours === 0
      ? '; no wet-rock hold is set'
      : costMin === undefined
        ? ''
        : Number.isFinite(costMin)
          ? costMin < 30
            ? ''
            : `; then on top about ${duration(Math.round(costMin / 60) * 60)} later (hold ${state.settings.wetHours} h)`
          : '; then not up within a week';
  return `${dry} Caught on the wall: ${riskWords(rain.caught)}${place}${cost}.`;
}
