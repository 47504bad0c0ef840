import { figuresOf } from '../../forecast/figures.ts';
import { sleepersOf } from '../../forecast/input.ts';
import { type MeantDay, meantDays } from '../../forecast/meant-days.ts';
import type { Forecast } from '../../forecast/model.ts';
import { pitchesDone, planDays } from '../../forecast/plan-days.ts';
import { workAt } from '../../forecast/planned-nights.ts';
import type { Line } from '../../say/reply.ts';
import { clock, dayClock, dayMonth, duration, WEEKDAYS } from '../../time/format.ts';
import { localDay, weekdayOf } from '../../time/zone.ts';
import { departures } from '../../timetable/departures.ts';
import { isPastTop } from '../../trip/mode.ts';
import { pitchAt, type TripState } from '../../trip/state.ts';
import { bounds, boundWords, plannedOdds, present, shortNights } from './forecast.ts';
import { oddsWords } from './odds.ts';
import { isBranched, silenceWords, spanWords, topoutWords } from './topout.ts';

/** The plan as it went and as it is meant now, a line a day: start, pitches, where the day ends; and the odds of it. */
export function planLines(state: TripState, forecast: Forecast, nowMs: number): Line[] {
  const days = meantDays(state, forecast, nowMs);
  if (days.length === 0) return [];
  return present<Line>([
    anewLine(state, days),
    ...days.map((day) => dayLine(state, forecast, day, nowMs)),
    isBranched(forecast) && !isPastTop(state) ? topoutWords(state, forecast, nowMs) : undefined,
    silenceWords(state, forecast, nowMs),
    ...workLines(state, days),
    shortNights(state),
    chosenLine(state),
  ]);
}

/** A night was spent elsewhere than planned: what follows is no longer the plan they left with. */
function anewLine(state: TripState, days: readonly MeantDay[]): string | undefined {
  const last = days.findLast((day) => day.over && day.settledMs !== undefined && day.planned);
  if (last === undefined || isPastTop(state)) return undefined;
  const slept = last.night === 0 ? 'on the ground' : `after pitch ${last.night}`;
  return `Not as planned: the night ${slept}, ${plannedWords(last)}. From here laid out anew; other nights: /bivy plan`;
}

function plannedWords({ planned }: MeantDay): string {
  return planned?.night === undefined ? 'planned none' : `planned after ${planned.night}`;
}

function dayLine(state: TripState, f: Forecast, day: MeantDay, nowMs: number): string {
  const local = localDay(state.zone, day.startMs);
  const name = `${WEEKDAYS[weekdayOf(local) - 1]} ${dayMonth(local)}`;
  const ends = endWords(state, f, day, nowMs);
  const { pitches } = day;
  if (pitches === undefined) {
    const isTop = isPastTop(state) || day.night === state.pitches.length;
    if (!day.over)
      return `${name}: ${isTop || day.night === undefined ? 'the way down' : 'no pitch'}.${ends}`;
    return `${name}: ${day.settledMs === undefined ? 'nothing' : 'no pitch'} told.${ends}`;
  }
  const { from, to } = pitches;
  if (to === undefined) {
    return `${name}: ${startWords(state, day)}, from pitch ${from} on.${ends}`;
  }
  if (day.fromOpen) return `${name}: ${startWords(state, day)}, on to pitch ${to}.${ends}`;
  const which = from === to ? `pitch ${from}` : `pitches ${from}–${to}`;
  const last = pitchAt(state, to)?.done;
  return last !== undefined && pitchesDone(state) >= to
    ? `${name}: ${which}, done ${dayClock(state.zone, last.atMs, nowMs)}.${ends}`
    : `${name}: ${startWords(state, day)}, ${which}.${ends}`;
}

/** `first move 06:00`, `boat 07:20, first move 08:20`. */
function startWords({ zone, starts, shuttle }: TripState, { day, startMs }: MeantDay): string {
  const move = `first move ${clock(zone, startMs)}`;
  if (starts.get(day) !== 'shuttle' || shuttle === undefined) return move;
  const coming = departures(shuttle.timetable, startMs - 86_400_000, startMs + 1);
  return `first ${shuttle.name} ${clock(zone, firstOf(zone, coming, startMs))}, ${move}`;
}

/** The first departure of the local day of `ms`. */
function firstOf(zone: string, all: readonly { atMs: number }[], ms: number): number {
  const day = dayMonth(localDay(zone, ms));
  return all.find((d) => dayMonth(localDay(zone, d.atMs)) === day)?.atMs ?? ms;
}

/** Where the day ends, with the forecast for it, and how it was planned. */
function endWords(state: TripState, f: Forecast, day: MeantDay, nowMs: number): string {
  const was = day.planned === undefined ? '' : ` (${plannedWords(day)})`;
  if (day.night !== undefined) return ` ${nightWords(state, f, day, nowMs)}${was}.`;
  if (day.over) return ` No night told${was}.`;
  if (day.pitches !== undefined && day.pitches.to === undefined) {
    return ` Another night on the wall most likely${was}.`;
  }
  const top =
    isPastTop(state) || isBranched(f)
      ? ''
      : ` Top ${spanWords(state, f.topout, nowMs)}, down ${at(state, f.trailhead.q50, nowMs)}.`;
  const shuttle = bounds(state, f).find((b) => b.shuttle !== undefined);
  return `${top}${shuttle === undefined ? '' : ` ${boundWords(state, shuttle, false, nowMs)}`}`;
}

/** `Night after 5: there 17:10 (cautious 18:40), by 21:00: 9 in 10`; `Night after 4, settled 21:10`. */
function nightWords(state: TripState, f: Forecast, day: MeantDay, nowMs: number): string {
  const { night, settledMs, likely } = day;
  const where = night === 0 ? 'on the ground' : `after ${night}`;
  if (settledMs !== undefined) return `Night ${where}, settled ${at(state, settledMs, nowMs)}`;
  if (likely) return `Night most likely ${where}: ${oddsWords(f.nextNight?.chance ?? 0, state)}`;
  const there = f.checkpoints.find((c) => c.pitch === night && c.actual === undefined);
  const meant = f.plannedNight?.pitch === night ? f.plannedNight : undefined;
  const odds =
    meant === undefined || meant.stopMs <= nowMs
      ? ''
      : `, by ${at(state, meant.stopMs, nowMs)}: ${plannedOdds(state, meant.chance, f.silence)}`;
  const when = there === undefined ? '' : `: there ${spanWords(state, there.done, nowMs)}${odds}`;
  return `Night ${where}${when}`;
}

function at({ zone }: TripState, ms: number, nowMs: number): string {
  return Number.isFinite(ms) ? dayClock(zone, ms, nowMs) : 'not within a week';
}

/** `Round the night after 10: evening 1 h, rest 6 h at least, morning 1 h. No pitch is begun after 21:30 …` */
function workLines(state: TripState, days: readonly MeantDay[]): Line[] {
  const figures = figuresOf(state);
  const stop = stopWords(state);
  const first = days.find((day) => !day.over)?.night;
  if (first === undefined) return [stop];
  const { eveningMin, morningMin } = workAt(state, first, sleepersOf(state), figures);
  const rest = duration(figures.leastRestMin);
  return [
    `Round the night after ${first}: evening ${duration(eveningMin)}, rest ${rest} at least, morning ${duration(morningMin)}. ${stop}`,
  ];
}

/** The rule of the stop time, as every ascent keeps it. */
export function stopWords(state: TripState): string {
  const { pushMaxMin } = figuresOf(state);
  const none = `No pitch is begun after ${state.settings.stopClock}`;
  return pushMaxMin === 0
    ? `${none}.`
    : `${none}, but to reach a bed or the top within ${duration(pushMaxMin)} in the dark.`;
}

/** What was chosen where the plan no longer fitted, while it is still to be done. */
function chosenLine(state: TripState): string | undefined {
  const { chosen } = state;
  const settled = state.nights.some((night) => night.sinceMs >= (chosen?.atMs ?? 0));
  if (chosen === undefined || settled) return undefined;
  const done = pitchesDone(state);
  if (chosen.way === 'dark') return done < chosen.pitch ? undefined : 'Chosen: on in the dark.';
  if (done !== chosen.pitch) return undefined;
  if (chosen.way === 'on') return `Chosen: climb on from ${done}.`;
  return chosen.way === 'fix'
    ? `Chosen: fix pitch ${done + 1}, and back to sleep after ${done}.`
    : `Chosen: stay after pitch ${done}, as planned.`;
}

/** What a change of the days leaves as it was, and has to be set anew: a frozen schedule, agreed times. */
export function anewLines(before: TripState, after: TripState, nowMs: number): Line[] {
  const [was, is] = [before, after].map((s) =>
    planDays(s, nowMs).map((d) => `${d.startMs} ${d.stopMs} ${d.night}`),
  ) as [string[], string[]];
  if (was.join() === is.join()) return [];
  const out: Line[] = [];
  if (after.schedule !== undefined) {
    out.push(['The schedule is still the one of the plan before: ', { code: '/schedule set' }]);
  }
  if (was.at(-1) === is.at(-1)) return out;
  const { downMs, calloutMs, topoutMs } = after.watch.plan;
  const times = [topoutMs, downMs, calloutMs].filter((ms) => ms !== undefined);
  if (times.length > 0) {
    const named = times.map((ms) => dayClock(after.zone, ms, nowMs)).join(', ');
    out.push([`Times agreed with home stay as they are (${named}): `, { code: '/checkin plan' }]);
  }
  const open = after.cutoffs.filter((c) => c.atMs > nowMs).map((c) => c.label);
  if (open.length > 0) out.push(`So do cutoffs: ${open.join(', ')}.`);
  return out;
}
