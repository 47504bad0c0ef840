import { bedAt } from '../forecast/beds.ts';
import { begunAt, nextEnd } from '../forecast/chosen.ts';
import { figuresOf } from '../forecast/figures.ts';
import { forecastInput, sleepersOf } from '../forecast/input.ts';
import { firstOffMs, latestChoice } from '../forecast/latest-choice.ts';
import type { ForecastInput, Span } from '../forecast/model.ts';
import { pitchesDone } from '../forecast/plan-days.ts';
import type { Button, Line } from '../say/reply.ts';
import { clock, dayClock, duration } from '../time/format.ts';
import { modeOf } from '../trip/mode.ts';
import { currentPitch, type TripState } from '../trip/state.ts';
import { holdOf } from '../trip/wet-rock-hold.ts';
import type { App } from './app.ts';
import { runQuick } from './forecast/run.ts';
import { wayWords } from './leaving-plan.ts';
import { leftWaterWords } from './words/kit.ts';
import { spanWords } from './words/topout.ts';
import { wayDown } from './words/way-down.ts';
import { rainWords } from './words/weather.ts';

/** The ways from where the party is, a line or two each, and a button for each that can be chosen. */
export interface Ways {
  lines: Line[];
  buttons: Button[];
}

/**
 * On, sleep here, down, side by side: when up and when home by each, what stands against it, and until
 * when it can be chosen. The forecast carries each out as if it were chosen now.
 */
export async function waysFromHere(app: App, state: TripState, nowMs: number): Promise<Ways> {
  const done = pitchesDone(state);
  const input = forecastInput(state, nowMs);
  const on = await onWay(app, state, input, done);
  const sleep = await sleepWay(app, state, input, done);
  const down = downWay(state, done, nowMs);
  return {
    lines: [
      `${whereWords(state, input, done, nowMs)} ${leftWaterWords(state, nowMs)}`,
      ...on.lines,
      ...sleep.lines,
      ...down.lines,
    ],
    buttons: [...sleep.buttons, ...down.buttons],
  };
}

/** Where they are, the light that is left, and the hold. */
function whereWords(state: TripState, input: ForecastInput, done: number, nowMs: number): string {
  const at = (ms: number) => dayClock(state.zone, ms, nowMs);
  const duskMs = input.days.map((d) => d.duskMs).find((ms) => ms !== undefined && ms > nowMs);
  const dawnMs = input.days.map((d) => d.dawnMs).find((ms) => ms !== undefined && ms > nowMs);
  const light =
    duskMs === undefined
      ? ''
      : dawnMs !== undefined && dawnMs < duskMs
        ? ` Dark until ${at(dawnMs)}.`
        : ` Light until ${at(duskMs)}.`;
  const hold = holdOf(state, nowMs);
  const wet =
    hold.state === 'none'
      ? ''
      : hold.state === 'raining'
        ? ' It rains: no climbing on this rock.'
        : ` The rock is held wet until ${at(hold.untilMs)}.`;
  const where = done === 0 ? 'At the foot' : `At the stance after pitch ${done}`;
  return `${where}, ${clock(state.zone, nowMs)}.${light}${wet}`;
}

async function onWay(
  app: App,
  state: TripState,
  input: ForecastInput,
  done: number,
): Promise<Ways> {
  const nowMs = input.nowMs;
  const nights = input.plan?.nights.filter((n) => n.pitch !== done) ?? [];
  const { settled: _asleep, ...awake } = input;
  const on: ForecastInput = { ...awake, plan: { nights }, pauses: atStance(state, input) };
  const { onMs } = latestChoice(on);
  // In a hold nobody leaves before its end, whatever the hour.
  const held = (input.holdUntilMs ?? 0) > nowMs;
  const shut = shutWords(state, input);
  if (shut !== undefined) return { lines: [shut], buttons: [] };
  const late = !held && onMs !== undefined && onMs < nowMs;
  const begun = held ? on : begunAt(on, nowMs);
  const meant = late ? { ...begun, darkTo: nextEnd(state, done, sleepersOf(state)) } : begun;
  const quick = await runQuick(app, meant);
  const rain = rainWords(state, quick, nowMs);
  const { darkTo } = quick;
  const there =
    darkTo === undefined || meant.darkTo === state.pitches.length
      ? ''
      : `there ${spanWords(state, darkTo.done, nowMs)}, `;
  const way =
    input.darkTo !== undefined
      ? `On in the dark, as you chose, to ${input.darkTo}`
      : late
        ? `On into the dark, to ${meant.darkTo}`
        : 'On';
  // What was chosen is under way.
  const isOpen = !held && input.darkTo === undefined;
  const until = isOpen ? ` ${untilWords(state, onMs, nowMs)}` : '';
  return {
    lines: [
      `${way}: ${there}${wayWords(state, quick, nowMs)}${until}`,
      ...(rain === undefined ? [] : [rain]),
    ],
    buttons: [],
  };
}

/** Why nobody goes on before the morning: the rock's hold, or a wait, lasts as long. Undefined where they may. */
function shutWords(state: TripState, input: ForecastInput): string | undefined {
  const { nowMs, holdUntilMs = 0 } = input;
  if (holdUntilMs < morningOf(input)) return undefined;
  const hold = holdOf(state, nowMs);
  if (hold.state === 'raining') {
    return `On: not while it rains, nor for ${state.settings.wetHours} h after it.`;
  }
  return `On: not before ${dayClock(state.zone, holdUntilMs, nowMs)}.`;
}

/** When the night they are in, or the next, is over. A night whose morning has come is over: meant is the next one. */
function morningOf({ settled, days, nowMs }: ForecastInput): number {
  if (settled !== undefined && settled.untilMs > nowMs) return settled.untilMs;
  return days.find((day) => day.startMs > nowMs)?.startMs ?? nowMs;
}

/** They are here: of the next pitch nothing is climbed unless its start was told. */
function atStance(state: TripState, { pauses = [], settled, nowMs }: ForecastInput): Span[] {
  const next = currentPitch(state);
  if ((next?.started ?? next?.fixed) !== undefined) return [...pauses];
  const doneMs = state.pitches.findLast((p) => p.done !== undefined)?.done?.atMs;
  const fromMs = doneMs ?? settled?.sinceMs;
  return fromMs === undefined ? [...pauses] : [...pauses, { fromMs, toMs: nowMs }];
}

/** Until when going on can be chosen; later, the night is spent here. */
function untilWords(state: TripState, onMs: number | undefined, nowMs: number): string {
  if (onMs === undefined) {
    const { pushMaxMin } = figuresOf(state);
    return `At any hour: a bed or the top is within ${duration(pushMaxMin)} in the dark.`;
  }
  const at = dayClock(state.zone, onMs, nowMs);
  return onMs < nowMs
    ? `Late: by the plan they leave by ${at}.`
    : `Leave by ${at}; later, the night is here.`;
}

async function sleepWay(
  app: App,
  state: TripState,
  input: ForecastInput,
  done: number,
): Promise<Ways> {
  const nowMs = input.nowMs;
  const pitch = input.pitches.find((p) => p.number === done);
  const bed = pitch === undefined ? undefined : bedAt(pitch, sleepersOf(state));
  const where =
    done === 0
      ? 'on the ground'
      : bed === undefined
        ? 'nowhere to lie down'
        : bed === 'ledge'
          ? 'a ledge'
          : 'a portaledge';
  const night = (input.settled?.untilMs ?? 0) > nowMs ? input.settled : undefined;
  const morning = morningOf(input);
  const slept = { ...input, settled: night ?? { sinceMs: nowMs, untilMs: morning } };
  const offMs = firstOffMs(slept) ?? Math.max(morning, input.holdUntilMs ?? 0);
  const bare = done > 0 && bed === undefined;
  const said = wayWords(state, await runQuick(app, slept), nowMs, bare);
  const settled = modeOf(state, nowMs).is === 'settled';
  const rest = settled || done === 0 ? '' : ` ${restWords(state, input, morning)}`;
  return {
    lines: [`Sleep here, ${where}: on ${dayClock(state.zone, offMs, nowMs)}; ${said}${rest}`],
    buttons:
      settled || done === 0
        ? []
        : [
            {
              label: 'Sleep here',
              press: { path: 'bivy settle', options: { pitch: done, here: done } },
            },
          ],
  };
}

/** Until when they can settle and still have the least rest before the morning. */
function restWords(state: TripState, input: ForecastInput, morningMs: number): string {
  const latestMs = morningMs - latestChoice(input).nightMin * 60_000;
  const least = duration(figuresOf(state).leastRestMin);
  return latestMs > input.nowMs
    ? `Settle by ${dayClock(state.zone, latestMs, input.nowMs)} for ${least} of rest.`
    : `Short of ${least} of rest by then.`;
}

function downWay(state: TripState, done: number, nowMs: number): Ways {
  if (done === 0) return { lines: ['Down: they are on the ground.'], buttons: [] };
  const { lines, blocked } = wayDown(state, done, nowMs);
  const press = { path: 'retreat begin', options: { pitch: done, here: done } } as const;
  return { lines, buttons: blocked ? [] : [{ label: 'Down', press }] };
}
