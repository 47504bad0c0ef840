import { modeWords } from '../../alarm/words/mode.ts';
import { canSleep } from '../../forecast/beds.ts';
import { chosenWay } from '../../forecast/chosen.ts';
import { sleepersOf } from '../../forecast/input.ts';
import type { CutoffTarget, Forecast } from '../../forecast/model.ts';
import { pitchesDone } from '../../forecast/plan-days.ts';
import { daysOf } from '../../forecast/trip-days.ts';
import type { Line } from '../../say/reply.ts';
import { dayClock } from '../../time/format.ts';
import { openTroubles } from '../../trip/conditions.ts';
import { stanceOf } from '../../trip/kinds/retreat.ts';
import { isOver, isPastTop, modeOf } from '../../trip/mode.ts';
import type { PitchState, TripState } from '../../trip/state.ts';
import { oddsWords, riskWords } from './odds.ts';
import { spanWords, topoutWords } from './topout.ts';
import { downLeft } from './way-down.ts';

export { spanWords } from './topout.ts';

export const CAUTION = 'A forecast, not a decision: the party on the wall decides.';

/** A cutoff still open, with its chance: those added, and the last shuttle when nobody added it. */
export interface Bound {
  id?: string;
  label: string;
  /** What must have happened by then, as it is said: `On top`; left out where the label says it, as of a shuttle to catch. */
  what?: string;
  atMs: number;
  /** Chance to meet it, 0–1. */
  chance: number;
  /** After a silence: the chance if they go as expected. `chance` is that of a party that did nothing untold. */
  expected?: number;
  /** Of several, the one that is threatened most and can still be met. */
  binds: boolean;
  /** The last shuttle of the planned day, and what there is of the next day when it is lost. */
  shuttle?: { next?: { firstMs: number; lastMs: number; chanceLast: number } };
}

/** All that is still open, the most threatened first. */
export function bounds(
  state: TripState,
  { cutoffs, shuttle, silence }: Pick<Forecast, 'cutoffs' | 'shuttle' | 'silence'>,
): Bound[] {
  const expected = (chance: number | undefined) =>
    chance === undefined ? {} : { expected: chance };
  const all = cutoffs.map(({ id, label, atMs, chance }): Bound => {
    const told = state.cutoffs.find((c) => c.id === id);
    const caught = told === undefined || (told.kind === 'shuttle' && told.target === 'trailhead');
    const what = caught ? undefined : reached(told.target);
    return {
      id,
      label,
      atMs: told?.atMs ?? atMs,
      chance,
      binds: false,
      ...(what === undefined ? {} : { what }),
      ...expected(silence?.cutoffs.find((c) => c.id === id)?.chance),
      // A shuttle that somebody added as a cutoff keeps its name as well when it is lost.
      ...(caught && (told?.atMs ?? atMs) === shuttle?.lastMs && shuttle.next !== undefined
        ? { shuttle: { next: shuttle.next } }
        : {}),
    };
  });
  if (shuttle !== undefined && !cutoffs.some((c) => c.kind === 'shuttle')) {
    const label = `Last ${state.shuttle?.name ?? 'shuttle'}`;
    const { lastMs: atMs, chanceLast: chance, next } = shuttle;
    all.push({
      ...{ label, atMs, chance, binds: false },
      ...expected(silence?.chanceLast),
      shuttle: next === undefined ? {} : { next },
    });
  }
  all.sort((a, b) => a.chance - b.chance || a.atMs - b.atMs);
  const first = all.find((b) => b.chance > 0);
  if (first !== undefined) first.binds = all.length > 1;
  return all;
}

function reached(target: CutoffTarget): string {
  if (typeof target === 'object') return `Pitch ${target.pitch} done`;
  return { topout: 'On top', down: 'Everyone down', trailhead: 'At the trailhead' }[target];
}

/** Labels of our own, which stand inside a sentence; a party's own stays as it is written. */
const OWN_LABELS = ['Dark', 'Permit', 'Weather', 'Own time'];

/** `Last boat 21:15`, `On top before dark 22:50`: what a chance is the chance of. */
export function boundName(
  state: TripState,
  { label, what, atMs }: Pick<Bound, 'label' | 'what' | 'atMs'>,
  nowMs: number,
): string {
  const at = dayClock(state.zone, atMs, nowMs);
  if (what === undefined) return `${label} ${at}`;
  return `${what} before ${OWN_LABELS.includes(label) ? label.toLowerCase() : label} ${at}`;
}

/** Below this the next day's last shuttle is named beside the planned day's. */
const IN_DANGER = 0.5;

/**
 * `Last boat 21:15: 3 in 4, the tightest.` The planned day's last shuttle keeps its name when it is lost:
 * `Last boat 17:30 is gone: next Sat 08:00.` Before it has left: `Last boat 17:30 is out of reach; Sat 17:30: 3 in 4.`
 */
export function boundWords(
  state: TripState,
  bound: Pick<Bound, 'label' | 'what' | 'atMs' | 'chance' | 'expected' | 'shuttle'>,
  binds: boolean,
  nowMs: number,
): string {
  const name = boundName(state, bound, nowMs);
  const next = bound.shuttle?.next;
  const at = (ms: number) => dayClock(state.zone, ms, nowMs);
  const hope = Math.max(bound.chance, bound.expected ?? 0);
  // What has left carries nobody who wasn't told to be on it.
  if (bound.shuttle !== undefined && (hope === 0 || bound.atMs <= nowMs)) {
    if (next === undefined)
      return `${name} ${bound.atMs <= nowMs ? 'is gone' : 'is out of reach'}.`;
    // Who is late for one is hardly in time for the very next.
    return bound.atMs <= nowMs
      ? `${name} is gone: next ${at(next.firstMs)}.`
      : `${name} is out of reach; ${at(next.lastMs)}: ${oddsWords(next.chanceLast, state)}.`;
  }
  const odds = oddsOfBound(state, bound);
  const other =
    next === undefined || hope >= IN_DANGER
      ? ''
      : `; ${at(next.lastMs)}: ${oddsWords(next.chanceLast, state)}`;
  return `${name}: ${odds}${binds ? ', the tightest' : ''}${other}.`;
}

/** After a silence nothing is surer than `19 in 20`. */
const SILENT_MOST = 0.95;

/** `1 in 20 to 1 in 3`: after a silence both what is known and what is expected are said. */
export function oddsOfBound(
  state: TripState,
  { chance, expected }: Pick<Bound, 'chance' | 'expected'>,
): string {
  const other = expected ?? chance;
  const most = expected === undefined ? 1 : SILENT_MOST;
  const [low, high] = [Math.min(chance, other), Math.max(chance, other)].map((p) =>
    oddsWords(Math.min(p, most), state),
  ) as [string, string];
  return low === high ? low : `${low} to ${high}`;
}

/** What the first line names: the planned day's last shuttle, the first that is lost, and the one that binds. */
export function leading(all: readonly Bound[]): Bound[] {
  const shuttle = all.find((b) => b.shuttle !== undefined);
  const lost = all.find((b) => b.chance === 0);
  const open = all.find((b) => b.chance > 0);
  return [...new Set([shuttle, lost, open])].filter((b) => b !== undefined);
}

type Head = Pick<
  Forecast,
  'silence' | 'topout' | 'days' | 'nights' | 'nextNight' | 'trailhead' | 'cutoffs' | 'shuttle'
>;

/** The answer that leads: top-out, or the trailhead from the top on, and the cutoff that binds. */
export function headline(state: TripState, forecast: Head, nowMs: number): string {
  if (isOver(state)) return modeWords(state, nowMs);
  if (modeOf(state, nowMs).is === 'retreating') return 'Coming down: no top-out is projected.';
  const where = isPastTop(state)
    ? `On top. Trailhead ${spanWords(state, forecast.trailhead, nowMs)}.`
    : topoutWords(state, forecast, nowMs);
  const named = leading(bounds(state, forecast));
  return [where, ...named.map((b) => boundWords(state, b, b.binds, nowMs))].join(' ');
}

/** What stands in place of a forecast on the way down without the top; undefined at other times. */
export function comingDownLines(state: TripState, nowMs: number): Line[] | undefined {
  const mode = modeOf(state, nowMs);
  if (mode.is !== 'retreating') return undefined;
  const left = downLeft(state, nowMs);
  const caution = left.length === 0 ? undefined : troubleCaution(state);
  const isUp = mode.point === undefined && stanceOf(mode.retreat).pitch > 0;
  return [
    ...(caution === undefined ? [] : [caution]),
    'Coming down: no top-out is projected.',
    modeWords(state, nowMs),
    ...left,
    isUp
      ? ['Climbing on again: ', { code: '/retreat stop' }]
      : ['Everyone down: ', { code: '/trip down' }],
  ];
}

/** Below this a chance isn't worth a line. */
const WORTH_SAYING = 0.05;

/**
 * `Planned night after pitch 10, there by 21:30: 4 in 5.`, and what else there may be of nights:
 * `A night on the wall from here: 3 in 4; nowhere to lie down: 1 in 10.`
 */
export function nightWords(
  state: TripState,
  {
    nights,
    exposedNight,
    nextNight: next,
    plannedNight: planned,
    silence,
  }: Pick<Forecast, 'nights' | 'exposedNight' | 'nextNight' | 'plannedNight' | 'silence'>,
  nowMs: number,
): string | undefined {
  const any = 1 - (nights[0] ?? 1);
  const most = nights.findLastIndex((chance) => chance >= WORTH_SAYING);
  const why = roomWords(state, planned?.pitch ?? next?.pitch);
  const bare =
    exposedNight < WORTH_SAYING ? '' : `; nowhere to lie down: ${riskWords(exposedNight)}${why}`;
  if (planned !== undefined && planned.stopMs > nowMs && any >= 1 - WORTH_SAYING) {
    const by = dayClock(state.zone, planned.stopMs, nowMs);
    const odds = plannedOdds(state, planned.chance, silence);
    return `Planned night after pitch ${planned.pitch}, there by ${by}: ${odds}${bare}.`;
  }
  if (any < WORTH_SAYING) return undefined;
  if (next !== undefined && next.chance >= 1 - WORTH_SAYING) {
    const where = next.pitch === 0 ? 'on the ground' : `after pitch ${next.pitch}`;
    const meant = state.bivyPlan.includes(next.pitch) ? ', as planned' : '';
    return `The next night is ${where}${meant}${bare}.`;
  }
  const more = most > 1 ? `; up to ${most} nights are possible` : '';
  // In the night they are in, or come back to after fixing, what is open is another.
  const tonight = modeOf(state, nowMs).is === 'settled' || fixedTonight(state, nowMs);
  return `${tonight ? 'Another' : 'A'} night on the wall${tonight ? '' : ' from here'}: ${riskWords(any)}${more}${bare}.`;
}

/** The odds of a planned night: after a silence what is known and what is expected, like every odds. */
export function plannedOdds(
  state: TripState,
  chance: number,
  silence: Forecast['silence'],
): string {
  const expected = silence?.plannedNight;
  return oddsOfBound(state, { chance, ...(expected === undefined ? {} : { expected }) });
}

/** They fixed the pitch above, and sleep below it tonight. */
function fixedTonight(state: TripState, nowMs: number): boolean {
  return chosenWay(state, daysOf(state, nowMs), nowMs, sleepersOf(state)).settled !== undefined;
}

/** ` (room for 3 after pitch 10, you are 4)`: why there is no bed where the topo has one. */
function roomWords(state: TripState, number: number | undefined): string {
  const pitch = state.pitches[(number ?? 0) - 1];
  const short = pitch === undefined || pitch.bivy === 'none' ? undefined : shortOf(state, pitch);
  return short === undefined ? '' : ` (${short})`;
}

/** `room for 2 after pitch 5, you are 3`: where not all can lie down; undefined where they can. */
function shortOf(state: TripState, { number, bivy: kind, places }: PitchState): string | undefined {
  const party = sleepersOf(state);
  const bivy = { kind, ...(places === undefined ? {} : { places }) };
  if (canSleep({ bivy }, party)) return undefined;
  const room = kind === 'portaledge' ? party.portaledgePlaces : kind === 'none' ? 0 : places;
  return `room for ${room ?? 0} after pitch ${number}, you are ${party.partySize}`;
}

/** The planned nights still to come where not all can lie down, with what there is. On top there is ground. */
export function shortNights(state: TripState): string | undefined {
  const to = pitchesDone(state);
  const short = state.bivyPlan
    .filter((n) => n >= to && n < state.pitches.length)
    .flatMap((n) => shortOf(state, state.pitches[n - 1] as PitchState) ?? []);
  return short.length === 0
    ? undefined
    : `Not all can lie down on a planned night: ${short.join('; ')}. Another place: /bivy plan`;
}

export function present<T extends Line>(lines: readonly (T | undefined)[]): T[] {
  return lines.filter((line): line is T => line !== undefined);
}

/** With somebody in trouble the figures are of a party that goes on. */
export function troubleCaution(state: TripState): string | undefined {
  if (openTroubles(state).length === 0) return undefined;
  return 'Trouble stands: these figures are as if all could go on as before.';
}
