import { Refusal } from '../../say/refusal.ts';
import { quote } from '../../time/duration.ts';
import { parseWhen } from '../../time/parse.ts';
import type { WeatherSpell } from '../../trip/kinds/weather.ts';
import type { LengthUnit } from '../../trip/units.ts';

/** What is said of a way to type it, wherever it can't be read. */
export function exampleIn(units: LengthUnit): string {
  return units === 'ft'
    ? 'rain 50% 10pm–3am, wind 25 mph from 2pm, 36°F tonight'
    : 'rain 50% 22:00–03:00, wind 40 km/h from 14:00, 2°C tonight';
}

/** What nobody gave an end to is taken to last so long. Engineering choice. */
const OPEN_END_MS = 12 * 3_600_000;
/** What began so lately is told as what it is now, not of tomorrow. Engineering choice. */
const JUST_NOW_MS = 3 * 3_600_000;
const DAY_MS = 86_400_000;
/** Clauses of one forecast; more is no forecast that anybody types. */
const CLAUSES = 24;
const KMH_PER: Readonly<Record<string, number>> = {
  'km/h': 1,
  kmh: 1,
  kph: 1,
  mph: 1.609344,
  'm/s': 3.6,
  kn: 1.852,
  kt: 1.852,
  knots: 1.852,
};

interface Context {
  zone: string;
  nowMs: number;
  units: LengthUnit;
}

/**
 * Reads a forecast as people type it, one clause after the other: what, how likely or how much, and when.
 *
 * @throws Refusal naming the clause that can't be read, with an example
 */
export function typedWeather(text: string, context: Context): WeatherSpell[] {
  const clauses = text
    .split(/[,;\n]|\band\b/iu)
    .map((c) => c.trim())
    .filter((c) => c !== '');
  try {
    if (clauses.length === 0 || clauses.length > CLAUSES) throw unreadable(text, 'no forecast');
    return clauses.map((clause) => readClause(clause, context));
  } catch (error) {
    if (!(error instanceof Refusal)) throw error;
    const example = `Write it like: ${exampleIn(context.units)}`;
    throw new Refusal(error.code, [...error.lines, example]);
  }
}

function unreadable(clause: string, why: string): Refusal {
  return new Refusal('unreadable-value', [
    `Can't read “${quote(clause)}” as weather: ${why}${why.includes('?') ? '' : '.'}`,
  ]);
}

type Said = Omit<WeatherSpell, 'fromMs' | 'toMs'>;

function readClause(clause: string, context: Context): WeatherSpell {
  const tidy = clause
    .toLowerCase()
    .replace(/[\u2012-\u2015\u2212]/gu, '-')
    .replace(/\s+/gu, ' ');
  const { said, rest } = whatOf(tidy, clause, context.units);
  const span = spanOf(rest.trim(), clause, context);
  return { ...span, ...said };
}

const WET = /\b(rain|showers?|snow|sleet|hail|drizzle|wet)\b/u;
const THUNDER = /\b(thunder(?:storms?)?|lightning)\b/u;
const GUSTS = /\bgusts?(?: of| to| up to)?\b/u;
const WIND = /\b(winds?|windy)\b/u;
const TEMPERATURE = /\b(temp(?:erature)?|cold|heat|hot|frost|air)\b/u;
const SPEED = /(\d{1,3}(?:\.\d+)?) ?(km\/h|kmh|kph|mph|m\/s|kn|kt|knots)\b/u;
const DEGREES = /(-?\d{1,2}(?:\.\d+)?) ?°? ?([cf])\b/u;
const PERCENT = /(\d{1,3}) ?(?:%|percent|per cent)/u;
const ODDS = /\b(\d{1,2}) in (\d{1,2})\b/u;

/** What is told, and what is left of the clause: its hours. */
function whatOf(tidy: string, clause: string, units: LengthUnit): { said: Said; rest: string } {
  const degrees = DEGREES.exec(tidy);
  if (THUNDER.test(tidy) || WET.test(tidy)) {
    const kind = THUNDER.test(tidy) ? THUNDER : WET;
    const { chance, rest } = chanceOf(tidy.replace(kind, ''), clause);
    return { said: kind === THUNDER ? { thunder: chance } : { rain: chance }, rest };
  }
  const speed = SPEED.exec(tidy);
  if (GUSTS.test(tidy) || WIND.test(tidy)) {
    if (speed === null) throw unreadable(clause, 'how much wind? like 40 km/h, 25 mph or 12 m/s');
    const kmh = Math.round(Number(speed[1]) * (KMH_PER[speed[2] ?? ''] ?? 1));
    if (kmh > 400) throw unreadable(clause, 'no wind blows like that');
    const rest = tidy.replace(SPEED, '').replace(GUSTS, '').replace(WIND, '');
    return { said: GUSTS.test(tidy) ? { gustKmh: kmh } : { windKmh: kmh }, rest };
  }
  if (degrees !== null || TEMPERATURE.test(tidy)) {
    if (degrees === null)
      throw unreadable(clause, `how warm? like ${units === 'ft' ? '30°F' : '-2°C'}`);
    const value = Number(degrees[1]);
    const tempC = Math.round((degrees[2] === 'f' ? (value - 32) / 1.8 : value) * 10) / 10;
    return { said: { tempC }, rest: tidy.replace(DEGREES, '').replace(TEMPERATURE, '') };
  }
  throw unreadable(clause, 'is it rain, thunder, wind, gusts or a temperature?');
}

/** A chance in percent or as odds; said without one, it is taken as sure. */
function chanceOf(tidy: string, clause: string): { chance: number; rest: string } {
  const percent = PERCENT.exec(tidy);
  const odds = ODDS.exec(tidy);
  const chance =
    percent !== null
      ? Number(percent[1]) / 100
      : odds !== null
        ? Number(odds[1]) / Number(odds[2])
        : 1;
  if (!(chance >= 0 && chance <= 1)) throw unreadable(clause, 'a chance goes from 0 to 100 %');
  return { chance, rest: tidy.replace(PERCENT, '').replace(ODDS, '') };
}

/** Parts of a day that people name. Engineering choice. */
const PARTS: readonly (readonly [RegExp, string, string])[] = [
  [/\btonight\b|\bovernight\b|\bthe night\b/u, '20:00', '06:00'],
  [/\bthis morning\b/u, '06:00', '12:00'],
  [/\bthis afternoon\b/u, '12:00', '18:00'],
  [/\bthis evening\b/u, '18:00', '23:00'],
];
const DAY =
  '(?<day>today|tomorrow|mon[a-z]*|tue[a-z]*|wed[a-z]*|thu[a-z]*|fri[a-z]*|sat[a-z]*|sun[a-z]*)';
const NAMED_PARTS: Readonly<Record<string, readonly [string, string]>> = {
  morning: ['06:00', '12:00'],
  afternoon: ['12:00', '18:00'],
  evening: ['18:00', '23:00'],
  night: ['20:00', '06:00'],
};
const PART_OF_DAY = new RegExp(`^${DAY}(?: (?<part>morning|afternoon|evening|night))?$`, 'u');

function spanOf(hours: string, clause: string, context: Context): { fromMs: number; toMs: number } {
  const tidy = hours
    .replace(/^(on|at|in|between|of|for) /u, '')
    .replace(/[()]/gu, '')
    .trim();
  for (const [word, from, to] of PARTS) {
    if (word.test(tidy)) return placed(from, to, clause, context);
  }
  const named = PART_OF_DAY.exec(tidy)?.groups;
  if (named?.day !== undefined) {
    const [from, to] = NAMED_PARTS[named.part ?? ''] ?? ['00:00', '23:59'];
    return placed(`${named.day} ${from}`, to, clause, context);
  }
  const both = /^(?:from )?(.+?) ?(?:-|\bto\b|\buntil\b|\btill\b|\band\b) ?(.+)$/u.exec(tidy);
  if (both !== null) return placed(both[1] ?? '', both[2] ?? '', clause, context);
  const until = /^(?:until|till|to|-) ?(.+)$/u.exec(tidy);
  if (until !== null) return placed('now', until[1] ?? '', clause, context);
  const from = tidy.replace(/^(from|after|since) /u, '').replace(/ (on|onwards?)$/u, '');
  if (from === '') throw unreadable(clause, 'when? like 22:00–03:00, from 14:00 or tonight');
  const nextMs = when(from, clause, context, context.nowMs);
  const begunMs = nextMs - DAY_MS;
  const hasBegun = isBare(from) && context.nowMs - begunMs <= JUST_NOW_MS;
  const fromMs = hasBegun ? begunMs : nextMs;
  return { fromMs, toMs: fromMs + OPEN_END_MS };
}

/** A time of a clock without a day. */
const isBare = (time: string) => !/[a-z]/u.test(time.replace(/[ap]\.?m/u, ''));

/** `22` is an hour where a time is meant. */
const clockWord = (word: string) =>
  word
    .trim()
    .replace(/(^| )(\d{1,2})$/u, '$1$2:00')
    .replace(/(^| )24:00$/u, '$100:00');

function when(word: string, clause: string, { zone }: Context, nowMs: number): number {
  const read = parseWhen(clockWord(word), { zone, nowMs, sense: 'future' });
  if (!read.ok) throw unreadable(clause, `“${quote(word)}” is no time of a clock`);
  return Math.floor(read.atMs / 60_000) * 60_000;
}

function placed(from: string, to: string, clause: string, context: Context) {
  const { nowMs } = context;
  let fromMs = when(from, clause, context, nowMs);
  // What ends before it would begin next has begun already.
  if (isBare(from) && when(to, clause, context, nowMs) < fromMs) fromMs -= DAY_MS;
  const toMs = when(to, clause, context, fromMs + 60_000);
  if (toMs <= nowMs) throw unreadable(clause, 'that is over');
  if (toMs - fromMs > 10 * DAY_MS) throw unreadable(clause, 'more than ten days is no forecast');
  return { fromMs, toMs };
}
