import { modeOf } from '../trip/mode.ts';
import type { TripState } from '../trip/state.ts';
import { holdOf } from '../trip/wet-rock-hold.ts';
import type { Forecast, Quantiles } from './model.ts';
import { lastRope } from './rope-behind.ts';

const MINUTE_MS = 60_000;
/** Taken for the delay of a report before any was told, as if so many had been. Engineering choice. */
const USUAL_DELAY_MIN = 10;
const USUAL_COUNT = 3;

/**
 * How long after it happened a pitch is told at the latest, nine times in ten, minutes: learnt from the trip's own
 * posts, of which a batch told in the evening says as much as one told at once.
 */
export function reportDelayMin({ pitches }: Pick<TripState, 'pitches'>): number {
  const told = pitches.flatMap((p) =>
    [p.started, p.fixed, p.done].flatMap((mark) =>
      mark === undefined ? [] : [Math.max(0, mark.recordedAtMs - mark.atMs) / MINUTE_MS],
    ),
  );
  const all = [...told, ...new Array<number>(USUAL_COUNT).fill(USUAL_DELAY_MIN)].sort(
    (a, b) => a - b,
  );
  return all[Math.ceil(0.9 * all.length) - 1] ?? USUAL_DELAY_MIN;
}

/** The same of those whom the forecast is of: where one rope is waited for, the other's pitches say nothing of it. */
function forecastHeardMs(state: TripState): number | undefined {
  const last = lastRope(state);
  return heardAtMs(last === undefined ? state : { ...state, pitches: [], ropeMarks: [last.told] });
}

/** When the climb, the nights or the way down were told of last, by when it happened. */
export function heardAtMs(state: TripState): number | undefined {
  const marks = state.pitches.flatMap((p) => [p.started, p.fixed, p.done]);
  const all = [
    state.departedAtMs,
    ...marks.map((mark) => mark?.atMs),
    ...state.ropeMarks.map((mark) => mark.atMs),
    ...state.nights.flatMap((night) => [night.sinceMs, night.leftMs]),
    ...state.waits.flatMap((wait) => [wait.sinceMs, wait.endedMs]),
    ...state.rains.flatMap((rain) => [rain.fromMs, rain.toMs]),
    ...state.retreats.map((retreat) => retreat.stoppedMs),
    ...state.descent.map((point) => point.atMs),
  ].filter((ms) => ms !== undefined);
  return all.length === 0 ? undefined : Math.max(...all);
}

/**
 * Since when nothing was told of a party that moves, where that is longer than reports take in this trip: what
 * isn't told by now may be done. Undefined where silence says nothing, or is none: a party that waits does not
 * climb on, nor one that lies down in rain whose end nobody told.
 */
export function silentSince(state: TripState, nowMs: number): number | undefined {
  const { is } = modeOf(state, nowMs);
  if (!['climbing', 'settled', 'going down'].includes(is)) return undefined;
  if (is === 'settled' && holdOf(state, nowMs).state === 'raining') return undefined;
  const heardMs = forecastHeardMs(state);
  if (heardMs === undefined) return undefined;
  return nowMs - heardMs > reportDelayMin(state) * MINUTE_MS ? heardMs : undefined;
}

/**
 * Until when silence is taken to mean that the next thing isn't done: as long as it may well last that long, and
 * the report with it. From then on it says that nobody tells.
 *
 * @param expected the forecast as of the moment when something was told last
 */
export function knownUntil(state: TripState, expected: Forecast, nowMs: number): number {
  const next = expected.checkpoints.find((c) => c.actual === undefined)?.done ?? expected.trailhead;
  return Math.min(nowMs, next.q90 + reportDelayMin(state) * MINUTE_MS);
}

const wider = (a: Quantiles, b: Quantiles): Quantiles => ({
  q10: Math.min(a.q10, b.q10),
  q50: b.q50,
  q90: Math.max(a.q90, b.q90),
});

/**
 * The forecast after a silence, from that which expects all to have gone on untold and that which holds the next
 * thing not to be done: as wide as both together. So silence alone never narrows what is said.
 */
export function afterSilence(
  expected: Forecast,
  untold: Forecast,
  heardMs: number,
  nowMs: number,
): Forecast {
  const by = new Map(expected.checkpoints.map((c) => [c.pitch, c.done]));
  const soonest = untold.checkpoints.find((c) => c.actual === undefined)?.done.q10;
  const byNow = expected.checkpoints.findLast((c) => c.done.q50 <= nowMs)?.pitch;
  return {
    ...untold,
    atMs: nowMs,
    checkpoints: untold.checkpoints.map((c) => {
      const other = by.get(c.pitch);
      return c.actual !== undefined || other === undefined
        ? c
        : { ...c, done: wider(other, c.done) };
    }),
    topout: wider(expected.topout, untold.topout),
    trailhead: wider(expected.trailhead, untold.trailhead),
    silence: {
      heardMs,
      knownMs: untold.atMs,
      byNow: byNow ?? 0,
      topoutMs: expected.topout.q50,
      trailheadMs: expected.trailhead.q50,
      ...(soonest === undefined ? {} : { soonestMs: soonest }),
      cutoffs: expected.cutoffs.map(({ id, chance }) => ({ id, chance })),
      ...(expected.shuttle === undefined ? {} : { chanceLast: expected.shuttle.chanceLast }),
      ...(expected.plannedNight === undefined ||
      expected.plannedNight.pitch !== untold.plannedNight?.pitch
        ? {}
        : { plannedNight: expected.plannedNight.chance }),
    },
  };
}
