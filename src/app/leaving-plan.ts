import { FRESH_MS, LATE_MS } from '../alarm/stop-time.ts';
import { lateButtons } from '../alarm/words/asks.ts';
import { canSleep } from '../forecast/beds.ts';
import { begunAt, nextEnd } from '../forecast/chosen.ts';
import type { QuickForecast } from '../forecast/forecast.ts';
import { forecastInput, sleepersOf } from '../forecast/input.ts';
import type { ForecastInput } from '../forecast/model.ts';
import { pitchesDone } from '../forecast/plan-days.ts';
import type { Button, Line } from '../say/reply.ts';
import { dayClock, duration } from '../time/format.ts';
import { modeOf } from '../trip/mode.ts';
import type { TripState } from '../trip/state.ts';
import type { App } from './app.ts';
import { runQuick } from './forecast/run.ts';
import { bounds, boundWords } from './words/forecast.ts';
import { riskWords } from './words/odds.ts';
import { spanWords, topoutWords } from './words/topout.ts';
import { wayDown } from './words/way-down.ts';

const HOUR_MS = 3_600_000;
/** So long before the stop time a planned ledge is reached early enough to ask. Engineering choice. */
const EARLY_MS = 3 * HOUR_MS;

/** A question, with the odds of each way and a button for it. */
export interface Asked {
  lines: Line[];
  buttons: Button[];
}

/**
 * What is asked where the climb leaves the plan: early at the planned ledge, or short of it at the stop time.
 *
 * @param toldMs when the last pitch was done
 */
export async function askLeaving(
  app: App,
  state: TripState,
  toldMs: number,
  nowMs: number,
): Promise<Asked | undefined> {
  if (modeOf(state, nowMs).is !== 'climbing' || nowMs - toldMs > FRESH_MS) return undefined;
  const input = forecastInput(state, nowMs);
  const done = pitchesDone(state);
  if (done === 0 || input.darkTo !== undefined || done === state.pitches.length) return undefined;
  if (isAnswered(state, input, done)) return undefined;
  const today = input.days.findLastIndex((day) => day.startMs <= nowMs);
  const stopMs = input.days[today]?.stopMs;
  const night = input.plan?.nights.find((n) => n.pitch >= done && n.day === today);
  if (stopMs === undefined || night === undefined) return undefined;
  if (night.pitch === done) {
    return nowMs + EARLY_MS <= stopMs ? early(app, state, input, stopMs) : undefined;
  }
  return nowMs >= stopMs - LATE_MS ? late(app, state, input, night.pitch) : undefined;
}

/** They went on in the dark to there, as they chose, and haven't slept since. */
function isAnswered(state: TripState, input: ForecastInput, done: number): boolean {
  const { chosen, nights } = state;
  if (chosen?.way !== 'dark' || nights.some((night) => night.sinceMs >= chosen.atMs)) return false;
  const to = nextEnd(state, chosen.pitch, sleepersOf(state));
  return done >= to && !input.days.some((d) => d.startMs > chosen.atMs && d.startMs <= input.nowMs);
}

async function early(
  app: App,
  state: TripState,
  input: ForecastInput,
  stopMs: number,
): Promise<Asked> {
  const done = pitchesDone(state);
  const nights = input.plan?.nights.filter((n) => n.pitch !== done) ?? [];
  const odds = await oddsOf(app, state, [
    ['Stay', input],
    ['Climb on', begunAt({ ...input, plan: { nights } }, input.nowMs)],
    [`Fix pitch ${done + 1} and come back`, { ...input, fixTonight: true }],
  ]);
  const hours = duration((stopMs - input.nowMs) / 60_000);
  return {
    lines: [
      `At the planned ledge, ${hours} before the stop time. What do you mean to do?`,
      ...odds,
    ],
    buttons: [
      button('Stay', 'stay', done),
      button('Climb on', 'on', done),
      button('Fix a pitch and come back', 'fix', done),
    ],
  };
}

async function late(
  app: App,
  state: TripState,
  input: ForecastInput,
  ledge: number,
): Promise<Asked> {
  const { stopClock } = state.settings;
  return {
    lines: [
      `Not at the planned ledge (pitch ${ledge}) by the stop time ${stopClock}. What do you mean to do?`,
      ...(await waysLateBy(app, state, input)),
    ],
    buttons: lateButtons(pitchesDone(state)),
  };
}

/** On in the dark, sit it out, down: a line a way, for a party that is not where it meant to sleep. */
export function waysLate(app: App, state: TripState, nowMs: number): Promise<string[]> {
  return waysLateBy(app, state, forecastInput(state, nowMs));
}

async function waysLateBy(app: App, state: TripState, input: ForecastInput): Promise<string[]> {
  const done = pitchesDone(state);
  const { zone } = state;
  const to = nextEnd(state, done, sleepersOf(state));
  const bed = input.pitches.find((p) => p.number === done);
  const bare = bed === undefined || !canSleep(bed, input);
  const morning = input.days.find((day) => day.startMs > input.nowMs)?.startMs ?? input.nowMs;
  const [dark, sit] = await oddsOf(app, state, [
    [`On in the dark, to ${to}`, { ...input, darkTo: to }],
    [
      `Sit it out${bare ? ', with nowhere to lie down' : ''}, until ${dayClock(zone, morning, input.nowMs)}`,
      { ...input, settled: { sinceMs: input.nowMs, untilMs: morning } },
    ],
  ]);
  return [dark ?? '', sit ?? '', ...wayDown(state, done, input.nowMs).lines];
}

function button(label: string, way: 'stay' | 'on' | 'fix', pitch: number): Button {
  return { label, press: { path: 'plan', options: { way, pitch } } };
}

/** A line a way: when they top out, the last shuttle, and the risk of a night without a bed. */
async function oddsOf(
  app: App,
  state: TripState,
  ways: readonly (readonly [string, ForecastInput])[],
): Promise<string[]> {
  const out: string[] = [];
  for (const [label, input] of ways) {
    const quick = await runQuick(app, input);
    const { darkTo } = quick;
    const there =
      darkTo === undefined ? '' : ` there ${spanWords(state, darkTo.done, input.nowMs)},`;
    out.push(`${label}:${there} ${wayWords(state, quick, input.nowMs)}`);
  }
  return out;
}

/**
 * When they top out by this way, the last shuttle, and the risk of a night without a bed.
 *
 * @param bareHere tonight is one already: the risk is of another
 */
export function wayWords(
  state: TripState,
  quick: QuickForecast,
  nowMs: number,
  bareHere = false,
): string {
  const top = topoutWords(state, quick, nowMs);
  const shuttle = bounds(state, quick).find((b) => b.shuttle !== undefined);
  const home = shuttle === undefined ? '' : ` ${boundWords(state, shuttle, false, nowMs)}`;
  const bare =
    quick.exposedNight < 0.05
      ? ''
      : ` ${bareHere ? 'Another' : 'A'} night with nowhere to lie down: ${riskWords(quick.exposedNight)}.`;
  return `${top.charAt(0).toLowerCase()}${top.slice(1)}${home}${bare}`;
}
