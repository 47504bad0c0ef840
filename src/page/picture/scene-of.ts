import { type Expectation, unmet } from '../../alarm/expectations.ts';
import { isCallout, phaseNow } from '../../alarm/ladder.ts';
import { modeWords } from '../../alarm/words/mode.ts';
import { standingLine } from '../../app/forecast/standing.ts';
import { wayBack } from '../../app/way-back.ts';
import { type Bound, bounds, headline, oddsOfBound } from '../../app/words/forecast.ts';
import { isBranched } from '../../app/words/topout.ts';
import { forecastInput } from '../../forecast/input.ts';
import type { Forecast } from '../../forecast/model.ts';
import { timesIn } from '../../say/hours.ts';
import { dayClock } from '../../time/format.ts';
import { openRetreat, stanceOf } from '../../trip/kinds/retreat.ts';
import { isOver, isPastTop, modeOf } from '../../trip/mode.ts';
import { leads } from '../../trip/rotation.ts';
import { nameOf, type TripState } from '../../trip/state.ts';
import { rainAhead } from '../../trip/weather.ts';
import { nightsOf } from './nights.ts';
import type { FanPoint, Level, Mark, Point, Scene } from './scene.ts';

/**
 * A trip as a picture shows it at `nowMs`. Without a forecast (no topo, or everyone down) it shows
 * what was told and planned.
 */
export function sceneOf(state: TripState, forecast: Forecast | undefined, nowMs: number): Scene {
  const levels = levelsOf(state);
  const over = isOver(state);
  const retreats = modeOf(state, nowMs).is === 'retreating';
  const ahead = over || retreats ? undefined : forecast;
  const actual = actualOf(state, levels);
  const fan = ahead === undefined ? [] : fanOf(state, ahead, levels, nowMs);
  const down = retreats
    ? rappelsOf(state, levels, nowMs)
    : ahead && downOf(state, ahead, actual, levels);
  const planned = plannedOf(state, levels);
  const scene = { nowMs, actual, fan, planned, levels };
  return {
    ...scene,
    title: state.name,
    answer: answerOf(state, ahead, nowMs).map((line) => timesIn(state.settings.hours, line)),
    zone: state.zone,
    hours: state.settings.hours,
    units: state.units,
    descending: retreats || isOver(state) || isPastTop(state),
    ...(ahead !== undefined && isBranched(ahead) ? { topIsOpen: true } : {}),
    ...(down === undefined ? {} : { down }),
    nights: nightsOf(state, spanOf(scene, down?.q90)),
    ...rainsOf(state, over, nowMs),
    marks: over
      ? []
      : marksOf(state, ahead, levels, nowMs).map((mark) => ({
          ...mark,
          label: timesIn(state.settings.hours, mark.label),
        })),
    ...(levels.length === 0 ? { note: 'No picture without a topo: /topo load.' } : {}),
  };
}

/** A chance smaller than this isn't drawn. */
const LEAST_CHANCE = 0.1;

function rainsOf(state: TripState, over: boolean, nowMs: number): Pick<Scene, 'rains'> {
  const rains = over ? [] : rainAhead(state, nowMs).filter((r) => r.chance >= LEAST_CHANCE);
  return rains.length === 0 ? {} : { rains };
}

function levelsOf(state: TripState): Level[] {
  const all = leads(state);
  let heightM = 0;
  return state.pitches.map((pitch, i) => {
    heightM += pitch.lengthM;
    const leader = all[i]?.leader;
    return {
      pitch: pitch.number,
      heightM,
      done: pitch.done !== undefined,
      bivy: pitch.bivy !== 'none',
      ...(leader === undefined ? {} : { leader: nameOf(state, leader) }),
    };
  });
}

const heightOf = (levels: readonly Level[], pitch: number) => levels[pitch - 1]?.heightM ?? 0;

/** A start as long as this after what was told before it is drawn: the party had rested. */
const REST_MS = 30 * 60_000;

/** What was told, by time. */
function actualOf(state: TripState, levels: readonly Level[]): Point[] {
  const done = state.pitches.flatMap((p): Point[] =>
    p.done === undefined || p.done.timeUnknown === true
      ? []
      : [{ atMs: p.done.atMs, heightM: heightOf(levels, p.number) }],
  );
  const nights = state.nights.flatMap((n): Point[] =>
    [n.sinceMs, n.leftMs].flatMap((atMs) =>
      atMs === undefined ? [] : [{ atMs, heightM: heightOf(levels, n.pitch) }],
    ),
  );
  const down = state.retreats.flatMap((r): Point[] => [
    { atMs: r.sinceMs, heightM: heightOf(levels, r.fromPitch) },
    ...r.rappels.map((x) => ({ atMs: x.atMs, heightM: heightOf(levels, x.station) })),
  ]);
  const told = [...done, ...nights, ...down].sort(
    (a, b) => a.atMs - b.atMs || a.heightM - b.heightM,
  );
  const starts = state.pitches.flatMap((p): Point[] => {
    if (p.started === undefined) return [];
    const before = told.findLast((t) => t.atMs <= (p.started?.atMs ?? 0));
    const rested = before === undefined || p.started.atMs - before.atMs > REST_MS;
    return rested ? [{ atMs: p.started.atMs, heightM: heightOf(levels, p.number - 1) }] : [];
  });
  const ground =
    state.departedAtMs !== undefined && starts.length === 0 && told.length > 0
      ? [{ atMs: state.departedAtMs, heightM: 0 }]
      : [];
  const end = state.downAtMs === undefined ? [] : [{ atMs: state.downAtMs, heightM: 0 }];
  return [...ground, ...told, ...starts]
    .sort((a, b) => a.atMs - b.atMs || a.heightM - b.heightM)
    .concat(end);
}

/** From where the party is now, upward. */
function fanOf(
  state: TripState,
  forecast: Forecast,
  levels: readonly Level[],
  nowMs: number,
): FanPoint[] {
  const ahead = forecast.checkpoints.filter((c) => c.actual === undefined);
  if (ahead.length === 0 || isPastTop(state)) return [];
  const input = forecastInput(state, nowMs);
  const fromMs = Math.max(nowMs, input.plannedStartMs ?? 0, input.settled?.untilMs ?? 0);
  const heightM = heightOf(levels, (ahead[0]?.pitch ?? 1) - 1);
  const still = (ms: number): FanPoint => ({ heightM, q10: ms, q50: ms, q90: ms });
  return [
    // Through a night they are settled for the line runs flat.
    ...(input.settled !== undefined && fromMs > nowMs ? [still(nowMs)] : []),
    still(fromMs),
    ...ahead.map((c) => ({ heightM: heightOf(levels, c.pitch), ...c.done })),
  ];
}

function downOf(
  state: TripState,
  { topout, trailhead }: Forecast,
  actual: readonly Point[],
  levels: readonly Level[],
): Scene['down'] {
  const { q10, q50, q90 } = trailhead;
  if (isPastTop(state)) {
    const last = actual.at(-1);
    return last && { fromMs: last.atMs, fromM: last.heightM, q10, q50, q90 };
  }
  if (!Number.isFinite(topout.q50)) return undefined;
  const fromM = levels.at(-1)?.heightM ?? 0;
  return { fromMs: topout.q50, fromM, q10, q50, q90 };
}

/** What is left of a retreat, from the stance told last; none where the topo and the ropes leave no way. */
function rappelsOf(state: TripState, levels: readonly Level[], nowMs: number): Scene['down'] {
  const retreat = openRetreat(state);
  const from = retreat === undefined ? 0 : stanceOf(retreat).pitch;
  if (from === 0) return undefined;
  const { way, ground } = wayBack(state, from, nowMs, nowMs);
  if (way.blocked !== undefined) return undefined;
  return { fromMs: nowMs, fromM: heightOf(levels, from), ...ground, to: 'ground' };
}

function plannedOf(state: TripState, levels: readonly Level[]): Point[] {
  return (state.schedule?.checkpoints ?? []).map((c) => ({
    atMs: c.plannedMs,
    heightM: heightOf(levels, c.pitch),
  }));
}

function spanOf(
  scene: Pick<Scene, 'nowMs' | 'actual' | 'fan' | 'planned'>,
  downMs: number | undefined,
): { fromMs: number; toMs: number } {
  const { nowMs, actual, planned, fan } = scene;
  const told = [...actual, ...planned].map((p) => p.atMs);
  const times = [nowMs, ...told, ...fan.map((f) => f.q90), downMs ?? nowMs];
  const finite = times.filter(Number.isFinite);
  return { fromMs: Math.min(...finite), toMs: Math.max(...finite) };
}

function answerOf(state: TripState, forecast: Forecast | undefined, nowMs: number): string[] {
  if (forecast === undefined) return [modeWords(state, nowMs)];
  const standing = standingLine(state, forecast, nowMs);
  return [headline(state, forecast, nowMs), standing ?? modeWords(state, nowMs)];
}

const EXPECTED: Record<Expectation['kind'], string> = {
  checkin: 'Check-in',
  nightly: 'Check-in',
  topout: 'Top by',
  down: 'Down by',
  callout: 'Call-out',
  again: 'Word by',
  silence: 'Silence ends',
  trouble: 'Trouble',
};

/** `Last boat 21:15, 3 in 4`, `Dark 22:40, on top: 1 in 3`: the time first, because a flag may be cut. */
function flagWords(state: TripState, bound: Bound, kind: Mark['kind'], nowMs: number): string {
  const { label, what, atMs, binds } = bound;
  // A boat's odds are of catching it, which needs no words.
  const of =
    what === undefined || kind === 'shuttle'
      ? ''
      : what === 'At the trailhead'
        ? 'in time: '
        : `${what.charAt(0).toLowerCase()}${what.slice(1)}: `;
  const at = dayClock(state.zone, atMs, nowMs);
  // The headline says which is the tightest; where the flag is long already, that is enough.
  const tightest = binds && of === '' ? ', the tightest' : '';
  return `${label} ${at}, ${of}${oddsOfBound(state, bound)}${tightest}`;
}

function marksOf(
  state: TripState,
  forecast: Forecast | undefined,
  levels: readonly Level[],
  nowMs: number,
): Mark[] {
  const at = (ms: number) => dayClock(state.zone, ms, nowMs);
  const alarmed = phaseNow(state) !== undefined;
  const all = forecast === undefined ? [] : bounds(state, forecast);
  const cutoffs = all.map((b): Mark => {
    const cutoff = state.cutoffs.find((c) => c.id === b.id);
    const kind = cutoff === undefined || cutoff.kind === 'shuttle' ? 'shuttle' : 'cutoff';
    return {
      atMs: b.atMs,
      kind,
      label: flagWords(state, b, kind, nowMs),
      // The only one weighs as much as one that binds among several; an alarm outweighs both.
      binds: !alarmed && (b.binds || (all.length === 1 && b.chance > 0)),
      ...(cutoff === undefined ? {} : targetOf(cutoff.target, levels)),
    };
  });
  const open = unmet(state);
  const night = open.find((e) => e.kind === 'nightly');
  // Of the nights the next is enough; the end of silence is no time that anybody agreed on.
  const watch = open
    .filter((e) => (e.kind === 'nightly' ? e === night : e.kind !== 'silence' || alarmed))
    .map(
      (e): Mark => ({
        atMs: e.dueMs,
        kind: 'watch',
        label: `${EXPECTED[e.kind]} ${at(e.dueMs)}`,
        // With an alarm up it is the call-out time that everything turns on.
        binds: alarmed && isCallout(e),
      }),
    );
  return [...cutoffs, ...watch];
}

function targetOf(
  target: TripState['cutoffs'][number]['target'],
  levels: readonly Level[],
): { heightM?: number } {
  if (typeof target === 'object') return { heightM: heightOf(levels, target.pitch) };
  return target === 'topout' ? { heightM: levels.at(-1)?.heightM ?? 0 } : {};
}
