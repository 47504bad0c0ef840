import { figuresOf, forecastInput } from '../../forecast/input.ts';
import type { LatestTime } from '../../forecast/latest.ts';
import type { Forecast, ForecastInput } from '../../forecast/model.ts';
import { dayClock } from '../../time/format.ts';
import type { TripState } from '../../trip/state.ts';
import type { App } from '../app.ts';
import { present } from '../words/forecast.ts';
import { oddsWords } from '../words/odds.ts';
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
  const input = withShuttle(state, forecastInput(state, nowMs), forecast.shuttle);
  const labels = new Map(input.cutoffs.map((c) => [c.id, c.label]));
  if (labels.size === 0) return { times: [], labels, below: new Map(), lost: [] };
  let kept = keep(await runLatest(app, input));
  const below = new Map<string, number>();
  for (const confidence of FALLBACKS) {
    if (kept.lost.length === 0 || confidence >= state.confidence) continue;
    const cutoffs = input.cutoffs.filter((c) => kept.lost.includes(c.id));
    const more = keep(await runLatest(app, { ...input, cutoffs, confidence }));
    for (const { id } of cutoffs) if (!more.lost.includes(id)) below.set(id, confidence);
    kept = { times: join(kept.times, more.times), lost: more.lost };
  }
  return { ...kept, labels, below };
}

/** The last shuttle binds by itself, without being added as a cutoff. */
function withShuttle(
  state: TripState,
  input: ForecastInput,
  shuttle: { lastMs: number } | undefined,
): ForecastInput {
  if (shuttle === undefined || input.cutoffs.some((c) => c.kind === 'shuttle')) return input;
  const label = `the last ${state.shuttle?.name ?? 'shuttle'}`;
  const atMs = shuttle.lastMs - figuresOf(state).boardMin * 60_000;
  const last = { id: 'shuttle', kind: 'shuttle' as const, label, atMs };
  return { ...input, cutoffs: [...input.cutoffs, { ...last, target: 'trailhead' as const }] };
}

/** Lost is what the very first checkpoint has no time for: times only grow along the route. */
export function keep(all: readonly LatestTime[]): Pick<Kept, 'times' | 'lost'> {
  const lost = (all[0]?.byCutoff ?? []).flatMap((c) => (c.latestMs === undefined ? [c.id] : []));
  const times = all.map(({ pitch, byCutoff }) =>
    least(
      pitch,
      byCutoff.filter((c) => !lost.includes(c.id)),
    ),
  );
  return { times, lost };
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

/** `Be done with pitch 9 by 16:40 to keep Last boat at 90 %.` */
export function latestWords(state: TripState, kept: Kept, nowMs: number): string | undefined {
  const done = state.pitches.findLast((p) => p.done !== undefined)?.number ?? 0;
  const onTop = done === state.pitches.length;
  const settled = state.nights.some((n) => n.leftMs === undefined);
  // Who rests, or is on top, asks how long that may last; who climbs, about the next stance.
  const from = onTop || settled ? done : done + 1;
  const next = kept.times.find((t) => t.pitch >= from && t.latestMs !== undefined);
  if (next?.latestMs === undefined) {
    return kept.lost.length === 0
      ? undefined
      : 'No cutoff ahead is likely to be met: go on knowing that, sleep, or go down.';
  }
  const act =
    next.pitch > done ? `Be done with pitch ${next.pitch}` : onTop ? 'Start down' : 'Climb on';
  const at = dayClock(state.zone, next.latestMs, nowMs);
  const label = kept.labels.get(next.cutoff ?? '') ?? 'every cutoff';
  const below = kept.below.get(next.cutoff ?? '');
  const chance =
    below === undefined
      ? percentOf(state)
      : `${oddsWords(below)}; ${percentOf(state)} is out of reach`;
  return `${act} by ${at} to keep ${label} at ${chance}.`;
}

/** `Latest times keep Last boat at 3 in 4 and the others at 90 %. Front is less than even.` */
export function keptWords(state: TripState, kept: Kept): string | undefined {
  const whole = kept.labels.size - kept.below.size - kept.lost.length;
  const below = [...kept.below].map(
    ([id, chance]) => `${kept.labels.get(id) ?? id} at ${oddsWords(chance)}`,
  );
  const rest = below.length === 0 ? 'every cutoff' : 'the others';
  const all = [...below, ...(whole > 0 ? [`${rest} at ${percentOf(state)}`] : [])];
  const said = all.length === 0 ? undefined : `Latest times keep ${and(all)}.`;
  return present([said, lostWords(kept)]).join(' ') || undefined;
}

function lostWords({ lost, labels }: Kept): string | undefined {
  if (lost.length === 0) return undefined;
  const names = and(lost.map((id) => labels.get(id) ?? id));
  const are = lost.length === 1 ? 'is' : 'are';
  return `${names.charAt(0).toUpperCase()}${names.slice(1)} ${are} more likely missed than met.`;
}

function and(words: readonly string[]): string {
  return [words.slice(0, -1).join(', '), words.at(-1)].filter(Boolean).join(' and ');
}

function percentOf({ confidence }: TripState): string {
  return `${Math.round(confidence * 100)} %`;
}
