import { figuresOf } from '../../forecast/figures.ts';
import { sleepersOf } from '../../forecast/input.ts';
import type { Forecast } from '../../forecast/model.ts';
import { type PlannedDay, pitchesDone, planDays } from '../../forecast/plan-days.ts';
import { workAt } from '../../forecast/planned-nights.ts';
import type { Line } from '../../say/reply.ts';
import { clock, dayClock, dayMonth, duration, WEEKDAYS } from '../../time/format.ts';
import { localDay, weekdayOf } from '../../time/zone.ts';
import { departures } from '../../timetable/departures.ts';
import { isPastTop } from '../../trip/mode.ts';
import { pitchAt, type TripState } from '../../trip/state.ts';
import { bounds, boundWords, present } from './forecast.ts';
import { oddsWords } from './odds.ts';
import { isBranched, spanWords, topoutWords } from './topout.ts';

/** The plan, a line a day: when they start, which pitches, where the day ends; and the odds of it. */
export function planLines(state: TripState, forecast: Forecast, nowMs: number): Line[] {
  const days = planDays(state, nowMs);
  const [first] = days;
  if (first === undefined) return [];
  return present<Line>([
    shortLine(state, days, nowMs),
    ...days.map((day) => dayLine(state, forecast, day, nowMs)),
    isBranched(forecast) && !isPastTop(state) ? topoutWords(state, forecast, nowMs) : undefined,
    ...workLines(state),
    chosenLine(state),
  ]);
}

/** They slept short of a planned night: the days that follow are as they were planned, and no longer what comes. */
function shortLine(
  state: TripState,
  days: readonly PlannedDay[],
  nowMs: number,
): string | undefined {
  const short = days.flatMap(({ night, startMs }, i) => {
    const nextMs = days[i + 1]?.startMs ?? Number.POSITIVE_INFINITY;
    return state.nights.filter(
      (n) => night !== undefined && n.pitch < night && n.sinceMs >= startMs && n.sinceMs < nextMs,
    );
  });
  const last = short.at(-1);
  if (last === undefined || isPastTop(state)) return undefined;
  const where = last.pitch === 0 ? 'on the ground' : `after pitch ${last.pitch}`;
  return `Not as planned: settled ${where} ${at(state, last.sinceMs, nowMs)}. The days below stand as they were planned; the times are projected. Other nights: /bivy plan`;
}

function dayLine(state: TripState, f: Forecast, planned: PlannedDay, nowMs: number): string {
  const day = localDay(state.zone, planned.startMs);
  const name = `${WEEKDAYS[weekdayOf(day) - 1]} ${dayMonth(day)}`;
  const { pitches } = planned;
  if (pitches === undefined) return `${name}: the way down.${endWords(state, f, planned, nowMs)}`;
  const which = `pitches ${pitches.from}–${pitches.to}`;
  const last = pitchAt(state, pitches.to)?.done;
  if (last !== undefined && pitchesDone(state) >= pitches.to) {
    const done = `${name}: ${which}, done ${dayClock(state.zone, last.atMs, nowMs)}.`;
    return `${done}${endWords(state, f, planned, nowMs)}`;
  }
  return `${name}: ${startWords(state, planned)}, ${which}.${endWords(state, f, planned, nowMs)}`;
}

/** `first move 06:00`, `boat 07:20, first move 08:20`. */
function startWords({ zone, starts, shuttle }: TripState, { day, startMs }: PlannedDay): string {
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

/** Where the day ends, with the forecast for it. */
function endWords(state: TripState, f: Forecast, { night }: PlannedDay, nowMs: number): string {
  if (night !== undefined) {
    const slept = state.nights.find((n) => n.pitch === night);
    if (slept !== undefined)
      return ` Night after ${night}, settled ${at(state, slept.sinceMs, nowMs)}.`;
    const there = f.checkpoints.find((c) => c.pitch === night && c.actual === undefined);
    const odds =
      f.plannedNight?.pitch === night
        ? `, by ${at(state, f.plannedNight.stopMs, nowMs)}: ${oddsWords(f.plannedNight.chance, state)}`
        : '';
    const when = there === undefined ? '' : `: there ${spanWords(state, there.done, nowMs)}${odds}`;
    return ` Night after ${night}${when}.`;
  }
  const top =
    isPastTop(state) || isBranched(f)
      ? ''
      : ` Top ${spanWords(state, f.topout, nowMs)}, down ${at(state, f.trailhead.q50, nowMs)}.`;
  const shuttle = bounds(state, f).find((b) => b.shuttle !== undefined);
  return `${top}${shuttle === undefined ? '' : ` ${boundWords(state, shuttle, false, nowMs)}`}`;
}

function at({ zone }: TripState, ms: number, nowMs: number): string {
  return Number.isFinite(ms) ? dayClock(zone, ms, nowMs) : 'not within a week';
}

/** `Round the night after 10: evening 1 h, rest 6 h at least, morning 1 h. Where they can sleep, no pitch is begun after 21:30.` */
function workLines(state: TripState): Line[] {
  const ahead = state.bivyPlan.filter(
    (pitch) => pitch >= pitchesDone(state) && pitch <= state.pitches.length,
  );
  const figures = figuresOf(state);
  const stop = `Where they can sleep, no pitch is begun after ${state.settings.stopClock}.`;
  const [first] = ahead;
  if (first === undefined) return [stop];
  const { eveningMin, morningMin } = workAt(state, first, sleepersOf(state), figures);
  const rest = duration(figures.leastRestMin);
  return [
    `Round the night after ${first}: evening ${duration(eveningMin)}, rest ${rest} at least, morning ${duration(morningMin)}. ${stop}`,
  ];
}

/** What was chosen where the plan no longer fitted, while it is still to be done. */
function chosenLine(state: TripState): string | undefined {
  const { chosen } = state;
  const settled = state.nights.some((night) => night.sinceMs >= (chosen?.atMs ?? 0));
  if (chosen === undefined || settled) return undefined;
  const done = pitchesDone(state);
  if (chosen.way === 'dark') return done < chosen.pitch ? undefined : 'Chosen: on in the dark.';
  if (done !== chosen.pitch) return undefined;
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
