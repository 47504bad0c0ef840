import { bedAt } from '../forecast/beds.ts';
import { begunAt, nextEnd } from '../forecast/chosen.ts';
import { figuresOf } from '../forecast/figures.ts';
import { forecastInput, sleepersOf } from '../forecast/input.ts';
import { firstOffMs, latestChoice } from '../forecast/latest-choice.ts';
import type { ForecastInput, Span } from '../forecast/model.ts';
import { pitchesDone } from '../forecast/plan-days.ts';
import type { Button, Table } from '../say/reply.ts';
import { clock, dayClock, duration } from '../time/format.ts';
import { modeOf } from '../trip/mode.ts';
import { currentPitch, type TripState } from '../trip/state.ts';
import { holdOf } from '../trip/wet-rock-hold.ts';
import type { App } from './app.ts';
import { runQuick } from './forecast/run.ts';
import { wayBack } from './way-back.ts';
import {
  boatCell,
  briefClock,
  forecastCells,
  NO,
  shuttleLabel,
  type Way,
  wayTable,
} from './words/deciding.ts';
import { leftWaterWords } from './words/kit.ts';
import { riskWords } from './words/odds.ts';
import { spanWords } from './words/topout.ts';
import { blockedWords } from './words/way-down.ts';

/** The ways from where the party is, side by side, and a button for each that can be chosen. */
export interface Ways {
  /** Where they are, the light, the hold, the water. */
  where: string;
  table: Table;
  /** What the cells can't say: why a way can't be gone, and what holds from when on. */
  why: string;
  buttons: Button[];
}

/**
 * On, sleep here, down, side by side: when up and when out by each, what stands against it, and until
 * when it can be chosen. The forecast carries each out as if it were chosen now.
 *
 * @param waitMs until when they wait first, where that is supposed; epoch milliseconds
 */
export async function waysFromHere(
  app: App,
  state: TripState,
  nowMs: number,
  waitMs = nowMs,
): Promise<Ways> {
  const done = pitchesDone(state);
  const told = forecastInput(state, nowMs);
  const holdUntilMs = Math.max(told.holdUntilMs ?? 0, waitMs);
  const input = holdUntilMs > told.nowMs ? { ...told, holdUntilMs } : told;
  const ways = [
    await onWay(app, state, input, done),
    await sleepWay(app, state, input, done),
    downWay(state, done, nowMs, waitMs),
  ];
  return {
    where: `${whereWords(state, input, done, nowMs)} ${leftWaterWords(state, nowMs)}`,
    table: wayTable(state, ways),
    why: [
      ...ways.flatMap((w) => w.why),
      'Out: 9 times in 10.',
      ...lastWords(state),
      ...byWords(state, ways),
    ].join(' '),
    buttons: ways.flatMap((w) => w.button ?? []),
  };
}

/** Which shuttle the row is of, where its name is too long for one. */
function lastWords(state: TripState): string[] {
  const { shuttle } = state;
  return shuttle === undefined || shuttleLabel(state) === shuttle.name
    ? []
    : [`Last: the ${shuttle.name}.`];
}

/** What the latest times are the latest times for. */
function byWords(state: TripState, [on, sleep, down]: readonly Way[]): string[] {
  const rest = duration(figuresOf(state).leastRestMin);
  const parts = [
    ...(on?.isTimed === true ? ['on, the night is here'] : []),
    ...(sleep?.isTimed === true ? [`sleep, less than ${rest} of rest`] : []),
    ...(down?.isTimed === true ? ['down, dark or no shuttle'] : []),
  ];
  return parts.length === 0 ? [] : [`After the time to go by: ${parts.join('; ')}.`];
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

async function onWay(app: App, state: TripState, input: ForecastInput, done: number): Promise<Way> {
  const nowMs = input.nowMs;
  const shut = shutWords(state, input);
  if (shut !== undefined) return { ...EMPTY, name: 'on', why: [shut] };
  const nights = input.plan?.nights.filter((n) => n.pitch !== done) ?? [];
  const { settled: _asleep, ...awake } = input;
  const on: ForecastInput = { ...awake, plan: { nights }, pauses: atStance(state, input) };
  const { onMs } = latestChoice(on);
  // In a hold nobody leaves before its end, whatever the hour.
  const offMs = Math.max(input.holdUntilMs ?? 0, nowMs);
  const held = offMs > nowMs;
  const isLate = onMs !== undefined && onMs < offMs;
  const begun = held ? on : begunAt(on, nowMs);
  const inDark = isLate && !held;
  const to = nextEnd(state, done, sleepersOf(state));
  const quick = await runQuick(app, inDark ? { ...begun, darkTo: to } : begun);
  const { darkTo } = quick;
  const chosen = input.darkTo;
  const there =
    darkTo === undefined || darkTo.pitch === state.pitches.length
      ? ''
      : `: there ${spanWords(state, darkTo.done, nowMs)}`;
  return {
    ...forecastCells(state, quick, nowMs),
    name: chosen !== undefined || inDark ? 'on, dark' : 'on',
    ...(chosen !== undefined
      ? { by: NO }
      : onMs === undefined
        ? { by: 'any hour' }
        : isLate
          ? { by: 'late' }
          : { by: briefClock(state, onMs, nowMs), isTimed: true }),
    why: [
      ...(chosen !== undefined ? [`On in the dark, as you chose, to ${chosen}${there}.`] : []),
      ...(inDark && onMs !== undefined && chosen === undefined
        ? [
            `On into the dark, to ${to}${there}; by the plan they leave by ${dayClock(state.zone, onMs, nowMs)}.`,
          ]
        : []),
      ...(isLate && held
        ? [
            `After that wait the night is here: by the plan they leave by ${dayClock(state.zone, onMs, nowMs)}.`,
          ]
        : []),
      ...(quick.exposedNight < WORTH_SAYING
        ? []
        : [`On, a night with nowhere to lie down: ${riskWords(quick.exposedNight)}.`]),
    ],
  };
}

/** Below this a risk isn't worth a sentence. */
const WORTH_SAYING = 0.05;

const EMPTY: Omit<Way, 'name' | 'why'> = { up: NO, out: NO, boat: NO, bed: NO, rain: NO, by: NO };

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

async function sleepWay(
  app: App,
  state: TripState,
  input: ForecastInput,
  done: number,
): Promise<Way> {
  const nowMs = input.nowMs;
  const pitch = input.pitches.find((p) => p.number === done);
  const bed =
    done === 0
      ? 'ground'
      : ((pitch === undefined ? undefined : bedAt(pitch, sleepersOf(state))) ?? 'nowhere');
  const night = (input.settled?.untilMs ?? 0) > nowMs ? input.settled : undefined;
  const morning = morningOf(input);
  const slept = { ...input, settled: night ?? { sinceMs: nowMs, untilMs: morning } };
  const offMs = firstOffMs(slept) ?? Math.max(morning, input.holdUntilMs ?? 0);
  const quick = await runQuick(app, slept);
  const settled = modeOf(state, nowMs).is === 'settled';
  const latestMs = morning - latestChoice(input).nightMin * 60_000;
  const isOpen = !settled && done > 0;
  const press = { path: 'bivy settle', options: { pitch: done, here: done } } as const;
  return {
    ...forecastCells(state, quick, nowMs),
    name: 'sleep here',
    bed,
    by: !isOpen ? NO : latestMs > nowMs ? briefClock(state, latestMs, nowMs) : 'late',
    isTimed: isOpen && latestMs > nowMs,
    why: [
      `Sleep here: on ${dayClock(state.zone, offMs, nowMs)}${
        isOpen && latestMs <= nowMs
          ? `, with less than ${duration(figuresOf(state).leastRestMin)} of rest`
          : ''
      }.`,
      ...(quick.exposedNight < WORTH_SAYING
        ? []
        : [
            `${bed === 'nowhere' ? 'Another' : 'Then a'} night with nowhere to lie down: ${riskWords(quick.exposedNight)}.`,
          ]),
    ],
    ...(isOpen ? { button: { label: 'Sleep here', press } } : {}),
  };
}

function downWay(state: TripState, done: number, nowMs: number, beginMs: number): Way {
  const name = 'down';
  if (done === 0) return { ...EMPTY, name, why: ['Down: they are on the ground.'] };
  const back = wayBack(state, done, nowMs, beginMs);
  const { way, ground, stop, duskMs, dawnMs, latestLightMs, last } = back;
  if (way.blocked !== undefined) {
    return { ...EMPTY, name, out: 'no way', why: [`Down: ${blockedWords(state, way)}.`] };
  }
  const at = (ms: number) => dayClock(state.zone, ms, nowMs);
  const unknown = way.legs.filter((l) => !l.known).map((l) => l.to);
  const lateMs = latestLightMs ?? Number.POSITIVE_INFINITY;
  const dark =
    dawnMs !== undefined
      ? ', in the dark'
      : duskMs !== undefined && lateMs < beginMs
        ? ', the end in the dark'
        : '';
  const limits = [latestLightMs, last?.latestMs].filter((ms) => ms !== undefined);
  const byMs = Math.min(...limits.filter((ms) => ms > beginMs));
  const count = way.legs.length === 1 ? '1 rappel' : `${way.legs.length} rappels`;
  const press = { path: 'retreat begin', options: { pitch: done, here: done } } as const;
  return {
    ...EMPTY,
    name,
    out: briefClock(state, (stop ?? ground).q90, nowMs),
    boat: boatCell(state, back, nowMs),
    by: Number.isFinite(byMs)
      ? briefClock(state, byMs, nowMs)
      : limits.length === 0
        ? 'any hour'
        : 'late',
    isTimed: Number.isFinite(byMs),
    why: [
      `Down: ${count}, on the ground ${at(ground.q50)}${dark}.`,
      ...(unknown.length === 0
        ? []
        : [`Not known whether one can rappel from ${unknown.join(', ')}.`]),
      ...(stop === undefined ? ['Their walk out isn’t known: out is the ground.'] : []),
    ],
    button: { label: 'Down', press },
  };
}
