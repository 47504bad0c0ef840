import { figuresOf } from '../../forecast/figures.ts';
import { forecastInput } from '../../forecast/input.ts';
import type { LatestTime } from '../../forecast/latest.ts';
import type { Forecast, ForecastCutoff, ForecastInput } from '../../forecast/model.ts';
import { dayClock } from '../../time/format.ts';
import type { TripState } from '../../trip/state.ts';
import type { App } from '../app.ts';
import { runLatest } from './run.ts';

/** Latest times of the checkpoints ahead, by the cutoffs that can still be kept. */
export interface Kept {
  times: LatestTime[];
  /** What a cutoff is called, by its id. */
  labels: ReadonlyMap<string, string>;
  /** Cutoffs that can't be kept with the trip's confidence any more: the chance their times are for. */
  below: ReadonlyMap<string, number>;
  /** Ids of those not even likely to be met; they bind no latest time. */
  lost: readonly string[];
}

/** Nobody is asked for anything sooner after a silence. Engineering choice. */
const NOTICE_MS = 15 * 60_000;

/** Chances that latest times fall back to, where the trip's confidence is out of reach. */
const FALLBACKS = [0.75, 0.5] as const;

/**
 * Latest times from here. A cutoff that can't be kept with the confidence asked for would have none,
 * and take away those of the others; its times are for the best chance that can be had instead.
 */
export async function latestFrom(
  app: App,
  state: TripState,
  forecast: Forecast,
  nowMs: number,
): Promise<Kept> {
  const input = withNights(
    withShuttle(
      state,
      forecastInput(state, nowMs, { knownMs: forecast.silence?.knownMs ?? nowMs }),
      forecast.shuttle,
    ),
  );
  const labels = new Map(input.cutoffs.map((c) => [c.id, c.label]));
  if (labels.size === 0) return { times: [], labels, below: new Map(), lost: [] };
  // Nobody is asked for less than can be climbed: what would, is lost at that confidence.
  const next = forecast.checkpoints.find((c) => c.actual === undefined);
  const soonest = next && { pitch: next.pitch, atMs: soonestMs(forecast, next.done.q10, nowMs) };
  const fallbacks = FALLBACKS.filter((confidence) => confidence < state.confidence);
  const [wanted = [], ...lesser] = await runLatest(app, input, [state.confidence, ...fallbacks]);
  let kept = keep(wanted, soonest);
  const below = new Map<string, number>();
  for (const [i, confidence] of fallbacks.entries()) {
    const { lost } = kept;
    if (lost.length === 0) break;
    const more = keep(only(lesser[i] ?? [], lost), soonest);
    for (const id of lost) if (!more.lost.includes(id)) below.set(id, confidence);
    kept = { times: join(kept.times, more.times), lost: more.lost };
  }
  return { ...kept, labels, below };
}

/** After a silence the next pitch may be done already; who asks for it gives them some minutes at least. */
function soonestMs({ silence }: Forecast, q10: number, nowMs: number): number {
  return silence === undefined ? q10 : Math.max(silence.soonestMs ?? q10, nowMs + NOTICE_MS);
}

/**
 * The last shuttle of the planned day binds by itself, without being added as a cutoff; where that is lost, the
 * next day's does.
 */
function withShuttle(
  state: TripState,
  input: ForecastInput,
  shuttle: Forecast['shuttle'],
): ForecastInput {
  if (shuttle === undefined || input.cutoffs.some((c) => c.kind === 'shuttle')) return input;
  const next = shuttle.chanceLast < (FALLBACKS.at(-1) ?? 0) ? shuttle.next : undefined;
  const { lastMs } = next ?? shuttle;
  const day = next === undefined ? '' : ` ${dayClock(state.zone, lastMs, input.nowMs)}`;
  const label = `the last ${state.shuttle?.name ?? 'shuttle'}${day}`;
  const atMs = lastMs - figuresOf(state).boardMin * 60_000;
  const last = { id: 'shuttle', kind: 'shuttle' as const, label, atMs };
  return { ...input, cutoffs: [...input.cutoffs, { ...last, target: 'trailhead' as const }] };
}

/** A planned night binds too: they mean to be at its ledge by the stop time of its day. */
function withNights(input: ForecastInput): ForecastInput {
  const nights = (input.plan?.nights ?? []).flatMap(({ pitch, day }): ForecastCutoff[] => {
    const atMs = input.days[day]?.stopMs;
    const isDone = input.pitches.find((p) => p.number === pitch)?.actual?.doneAtMs !== undefined;
    const sinceMs = Math.max(input.nowMs, input.settled?.untilMs ?? input.nowMs);
    if (atMs === undefined || atMs <= sinceMs || isDone) return [];
    const label = `the night after pitch ${pitch}`;
    return [{ id: `night:${pitch}`, kind: 'own', label, atMs, target: { pitch } }];
  });
  return nights.length === 0 ? input : { ...input, cutoffs: [...input.cutoffs, ...nights] };
}

/**
 * Lost is what the very first checkpoint has no time for, or the next pitch less than it can be climbed by: times
 * only grow along the route.
 */
export function keep(
  all: readonly LatestTime[],
  soonest?: { pitch: number; atMs: number },
): Pick<Kept, 'times' | 'lost'> {
  const first = (all[0]?.byCutoff ?? []).filter((c) => c.latestMs === undefined);
  const next = all.find((t) => t.pitch === soonest?.pitch)?.byCutoff ?? [];
  const short = next.filter((c) => (c.latestMs ?? Infinity) < (soonest?.atMs ?? 0));
  const lost = [...new Set([...first, ...short].map((c) => c.id))];
  const times = all.map(({ pitch, byCutoff }) =>
    least(
      pitch,
      byCutoff.filter((c) => !lost.includes(c.id)),
    ),
  );
  return { times, lost };
}

/** The times that some of the cutoffs ask for. */
function only(all: readonly LatestTime[], ids: readonly string[]): LatestTime[] {
  return all.map(({ pitch, byCutoff }) =>
    least(
      pitch,
      byCutoff.filter((c) => ids.includes(c.id)),
    ),
  );
}

function join(a: readonly LatestTime[], b: readonly LatestTime[]): LatestTime[] {
  return a.map((t, i) => least(t.pitch, [...t.byCutoff, ...(b[i]?.byCutoff ?? [])]));
}

/** The cutoff with the earliest latest time asks for it. */
function least(pitch: number, byCutoff: LatestTime['byCutoff']): LatestTime {
  let first: { id: string; latestMs: number } | undefined;
  for (const { id, latestMs } of byCutoff) {
    if (latestMs !== undefined && (first === undefined || latestMs < first.latestMs)) {
      first = { id, latestMs };
    }
  }
  return {
    pitch,
    ...(first === undefined ? {} : { latestMs: first.latestMs, cutoff: first.id }),
    byCutoff,
  };
}
