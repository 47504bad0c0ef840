import { riskWords } from '../../src/app/words/odds.ts';
import { saidMs } from '../../src/app/words/topout.ts';
import { partySizeOf, UNKNOWN_DESCENT_MIN } from '../../src/forecast/input.ts';
import type { Forecast, ForecastInput } from '../../src/forecast/model.ts';
import type { Table } from '../../src/say/reply.ts';
import { dayClock, duration } from '../../src/time/format.ts';
import { isPastTop, modeOf } from '../../src/trip/mode.ts';
import { climbers, nameOf, type TripState } from '../../src/trip/state.ts';
import { rainUntil } from '../../src/trip/weather.ts';

/** Who hangs long enough to hurt: 1.5 h is bearable, 2.5 h is not (common practice, no source). */
const HURTS_MIN = 90;
const HANGING_LINES = 2;

export function hangingWords(state: TripState, { hanging }: Pick<Forecast, 'hanging'>): string[] {
  return hanging
    .filter((h) => h.medianMin >= HURTS_MIN)
    .sort((a, b) => b.medianMin - a.medianMin)
    .slice(0, HANGING_LINES)
    .map(
      (h) =>
        `${nameOf(state, h.climber)} hangs about ${duration(h.medianMin)} at the stance after pitch ${h.pitch} (cautious ${duration(h.q90Min)}).`,
    );
}

/** Who hangs how long at which stance ahead, hours and minutes: a row a stance, a column a climber. */
export function hangingTable(
  state: TripState,
  { hanging }: Pick<Forecast, 'hanging'>,
): Table | undefined {
  const shown = hanging.filter((h) => h.medianMin >= 1);
  const who = [...new Set(shown.map((h) => h.climber))];
  const stances = [...new Set(shown.map((h) => h.pitch))].sort((a, b) => a - b);
  if (stances.length === 0) return undefined;
  const cell = (pitch: number, climber: string) => {
    const found = shown.find((h) => h.pitch === pitch && h.climber === climber);
    return found === undefined ? '-' : hours(found.medianMin);
  };
  return {
    head: ['', ...who.map((id) => nameOf(state, id).slice(0, NAME_COLUMNS))],
    align: ['right', ...who.map(() => 'right' as const)],
    durations: who.map((_, i) => i + 1),
    rows: stances.map((pitch) => [String(pitch), ...who.map((id) => cell(pitch, id))]),
  };
}

const NAME_COLUMNS = 8;

function hours(min: number): string {
  const whole = Math.round(min);
  return `${Math.floor(whole / 60)}:${String(whole % 60).padStart(2, '0')}`;
}

/** `1 in 10 is earlier than top-out 15:10, trailhead 16:20.` */
export function earlyWords(
  state: TripState,
  { topout, trailhead }: Pick<Forecast, 'topout' | 'trailhead'>,
  nowMs: number,
): string | undefined {
  if (!Number.isFinite(topout.q10) || !Number.isFinite(trailhead.q10)) return undefined;
  const at = (ms: number) => dayClock(state.zone, saidMs(state, ms), nowMs);
  const top = isPastTop(state) ? '' : `top-out ${at(topout.q10)}, `;
  return `Early (1 in 10): ${top}trailhead ${at(trailhead.q10)}. Cautious holds in 9 of 10.`;
}

/** A smaller chance that no end is found asks nobody for a place to sleep. Engineering choice. */
const UNFINISHED_LEAST = 0.01;

/** What the forecast had to assume: what nobody told, in one line, and what makes it shaky. */
export function assumptionWords(
  state: TripState,
  forecast: Pick<Forecast, 'unfinished' | 'pace'>,
  input: Pick<ForecastInput, 'plannedStartMs'>,
  nowMs: number,
): string[] {
  const lines = quietWords(state, nowMs);
  if (forecast.pace.party.stages === 0 && !isPastTop(state)) lines.push(wideWords(state));
  const assumed = assumedWords(state, input, nowMs);
  if (assumed.length > 0) lines.push(`Assumed: ${assumed.join('; ')}.`);
  lines.push(...rainingWords(state, nowMs));
  if (forecast.unfinished >= UNFINISHED_LEAST) {
    const share = riskWords(forecast.unfinished);
    lines.push(`No end found within a week: ${share}. Is there a place to sleep in the topo?`);
  }
  return lines;
}

/** Rain of which no end was told: since when, and what end it is forecast with. */
function rainingWords(state: TripState, nowMs: number): string[] {
  const { rains, zone, settings } = state;
  const rain = rains.at(-1);
  if (rain === undefined || rain.toMs !== undefined) return [];
  const endMs = rainUntil(state, nowMs) ?? nowMs;
  const end = endMs > nowMs ? `at ${dayClock(zone, endMs, nowMs)}, as told` : 'now';
  const held = settings.wetHours === 0 ? '' : `, and ${settings.wetHours} h held`;
  const since = dayClock(zone, rain.fromMs, nowMs);
  return [`Raining since ${since}, by the last word: as if it ended ${end}${held}.`];
}

/** A forecast from a wide prior says so. */
function wideWords({ settings, takenPace, pitches }: TripState): string {
  const narrower =
    settings.party === undefined && takenPace === undefined ? ' Narrower: /trip pace party:' : '';
  const climbed = pitches.some((p) => p.done !== undefined);
  return `${climbed ? 'No climbing time told yet' : 'Nothing climbed yet'}: wide.${narrower}`;
}

/** After this long without a word of the climb, where the party is is a guess. Engineering choice. */
const QUIET_MS = 4 * 3_600_000;

/** When the climb was last told of; undefined when nobody climbs. */
function lastToldMs(state: TripState, nowMs: number): number | undefined {
  const night = state.nights.at(-1);
  if (!['going in', 'climbing'].includes(modeOf(state, nowMs).is)) return;
  const told = state.pitches.flatMap((p) => [p.started?.atMs, p.fixed?.atMs, p.done?.atMs]);
  const behind = state.ropeMarks.map((m) => m.atMs);
  const heard = [state.departedAtMs, night?.leftMs, ...told, ...behind];
  return Math.max(...heard.filter((ms) => ms !== undefined));
}

/** Long silence of a party that climbs. */
export function isQuiet(state: TripState, nowMs: number): boolean {
  const lastMs = lastToldMs(state, nowMs);
  return lastMs !== undefined && nowMs - lastMs >= QUIET_MS;
}

function quietWords(state: TripState, nowMs: number): string[] {
  if (!isQuiet(state, nowMs)) return [];
  const at = dayClock(state.zone, lastToldMs(state, nowMs) ?? nowMs, nowMs);
  return [`Nothing told of the climb since ${at}; where they are now is a guess.`];
}

function assumedWords(
  state: TripState,
  { plannedStartMs }: Pick<ForecastInput, 'plannedStartMs'>,
  nowMs: number,
): string[] {
  const { settings: s, place } = state;
  const out: string[] = [];
  if (state.departedAtMs === undefined && plannedStartMs !== undefined) {
    out.push(`start ${dayClock(state.zone, plannedStartMs, nowMs)} (/trip edit first_day: start:)`);
  }
  const there = climbers(state).length;
  if (there === 0) out.push(`a party of ${partySizeOf(state)} (/roster add)`);
  if (there === 1) out.push('times as for two, one climber is on the roster');
  if (s.descentMin === undefined && s.descentKm === undefined) {
    out.push(`descent ${duration(UNKNOWN_DESCENT_MIN)}, from memory (/trip edit descent:)`);
  }
  if (place.lat === undefined)
    out.push("no darkness, the place isn't given (/trip edit lat: lon:)");
  return out;
}
