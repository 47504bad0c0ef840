import { bedAt } from '../forecast/beds.ts';
import { nextEnd } from '../forecast/chosen.ts';
import { forecastInput, sleepersOf } from '../forecast/input.ts';
import type { ForecastInput } from '../forecast/model.ts';
import { pitchesDone } from '../forecast/plan-days.ts';
import type { Button, Line } from '../say/reply.ts';
import { clock, dayClock } from '../time/format.ts';
import { modeOf } from '../trip/mode.ts';
import type { TripState } from '../trip/state.ts';
import { holdOf } from '../trip/wet-rock-hold.ts';
import type { App } from './app.ts';
import { runQuick } from './forecast/run.ts';
import { wayWords } from './leaving-plan.ts';
import { leftWaterWords } from './words/kit.ts';
import { stopWords } from './words/plan.ts';
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
  const today = input.days.findLastIndex((day) => day.startMs <= nowMs);
  const stopMs = input.days[today]?.stopMs;
  const late = stopMs !== undefined && nowMs >= stopMs;
  const { settled: _asleep, ...awake } = input;
  const meant: ForecastInput = late
    ? { ...awake, plan: { nights }, darkTo: nextEnd(state, done, sleepersOf(state)) }
    : { ...awake, plan: { nights } };
  const quick = await runQuick(app, meant);
  const said = wayWords(state, quick, nowMs);
  const rain = rainWords(state, quick, nowMs);
  const until = late
    ? `Past the stop time ${state.settings.stopClock}, so in the dark.`
    : stopWords(state);
  return { lines: [`On: ${said} ${until}`, ...(rain === undefined ? [] : [rain])], buttons: [] };
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
  const morning =
    input.settled?.untilMs ?? input.days.find((day) => day.startMs > nowMs)?.startMs ?? nowMs;
  const slept = { ...input, settled: input.settled ?? { sinceMs: nowMs, untilMs: morning } };
  const said = wayWords(state, await runQuick(app, slept), nowMs);
  const settled = modeOf(state, nowMs).is === 'settled';
  return {
    lines: [`Sleep here, ${where}: on ${dayClock(state.zone, morning, nowMs)}; ${said}`],
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

function downWay(state: TripState, done: number, nowMs: number): Ways {
  if (done === 0) return { lines: ['Down: they are on the ground.'], buttons: [] };
  const { lines, blocked } = wayDown(state, done, nowMs);
  const press = { path: 'retreat begin', options: { pitch: done, here: done } } as const;
  return { lines, buttons: blocked ? [] : [{ label: 'Down', press }] };
}
