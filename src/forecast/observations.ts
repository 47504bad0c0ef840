import type { Settings } from './defaults.ts';
import type { Leg, LegPart } from './legs.ts';
import type { ForecastInput, Span } from './model.ts';
import { type Lognormal, lognormalFrom, lognormalMoments, sumMoments } from './moments.ts';
import type { Observation } from './pace.ts';
import { type WorkClock, workBetween } from './work-clock.ts';

/** Idle time before the next start counts as changeover up to this many times its median; longer, it is a stop. */
const CHANGEOVER_MAX = 3;
/** Times are told to the minute; a shorter stretch says nothing more. */
const SHORTEST_MIN = 1;

/** What is needed to turn told times into work. */
export interface Measure {
  input: ForecastInput;
  settings: Settings;
  clock: WorkClock;
  pauses: readonly Span[];
}

/** Spans nobody climbed in: those told, and the night the party is settled in. */
export function pausesOf(input: ForecastInput): Span[] {
  const pauses = [...(input.pauses ?? [])];
  if (input.settled) pauses.push({ fromMs: input.settled.sinceMs, toMs: input.settled.untilMs });
  return pauses;
}

/** Work between two told times, minutes, less the breaks marked in it. */
export function workTold(m: Measure, fromMs: number, toMs: number, breakMin: number): number {
  const origin = m.input.nowMs;
  const wallMin = (toMs - fromMs) / 60000;
  if (!(wallMin > 0)) return 0;
  const min = (ms: number): number => (ms - origin) / 60000;
  const work = workBetween(m.clock, min(fromMs), min(toMs), m.pauses, origin);
  return work * Math.max(0, 1 - breakMin / wallMin);
}

/** What a stretch says: its stages' own noise, and that of the pitch as a whole. */
function observe(m: Measure, workMin: number, parts: readonly LegPart[]): Observation {
  const spans = parts.map(({ span }) => ({
    mu: span.mu,
    sigma: Math.hypot(span.sigma, m.settings.sigmaPitch),
  }));
  const moments = spans.map(lognormalMoments);
  const sum = sumMoments(moments);
  const span = parts.length === 1 ? (spans[0] as Lognormal) : lognormalFrom(sum);
  const weights = (parts[0] as LegPart).weights.map((_, i) =>
    parts.reduce(
      (w, part, p) => w + ((part.weights[i] as number) * (moments[p]?.mean as number)) / sum.mean,
      0,
    ),
  );
  const logRatio = Math.log(Math.max(workMin, SHORTEST_MIN)) - span.mu;
  return { logRatio, weights, sigma: span.sigma };
}

/** When a leg began, as told. */
export const startedAt = (m: Measure, leg: Leg): number | undefined =>
  m.input.pitches[leg.first]?.actual?.startedAtMs;
/** When the line was fixed at the end of a leg, as told. */
export const fixedAt = (m: Measure, leg: Leg): number | undefined =>
  m.input.pitches[leg.last]?.actual?.fixedAtMs;
/** When a leg was done, as told. */
export const doneAt = (m: Measure, leg: Leg): number | undefined =>
  m.input.pitches[leg.last]?.actual?.doneAtMs;

/** Marked breaks of a leg, minutes: in all, and before the line was fixed. */
export function breaksOf(m: Measure, leg: Leg): { allMin: number; leadMin: number } {
  let allMin = 0;
  let leadMin = 0;
  for (let p = leg.first; p <= leg.last; p++) {
    allMin += m.input.pitches[p]?.actual?.breakMin ?? 0;
    leadMin += m.input.pitches[p]?.actual?.breakLeadMin ?? 0;
  }
  return { allMin, leadMin };
}

/**
 * When the party was ready for the leg after `leg`. The changeover belongs to the pitch it ends, but
 * people post "done" before it as well as after; the next start, told soon after, settles it.
 */
function endOf(m: Measure, leg: Leg, next: Leg | undefined): number | undefined {
  const done = doneAt(m, leg);
  const start = next ? startedAt(m, next) : undefined;
  if (done === undefined || start === undefined) return done ?? start;
  const usualMin = Math.exp(leg.stages.changeover?.mu ?? Number.NEGATIVE_INFINITY);
  return start > done && start - done <= CHANGEOVER_MAX * usualMin * 60000 ? start : done;
}

/** A pitch isn't split by a night: without a told start, one done after a day's start began there. */
function afterNight(m: Measure, beginMs: number, endMs: number): number {
  let begin = beginMs;
  for (const day of m.input.days) {
    if (day.startMs > begin && day.startMs < endMs) begin = day.startMs;
  }
  return begin;
}

/** Nights inside a stretch of several pitches, which nobody told of. */
function nightsWithin(m: Measure, beginMs: number, endMs: number): Span[] {
  const days = [...m.input.days].sort((a, b) => a.startMs - b.startMs);
  return days.flatMap((day, d) => {
    const stop = days[d - 1]?.stopMs;
    const inside = stop !== undefined && beginMs < day.startMs && day.startMs < endMs;
    return inside ? [{ fromMs: Math.max(stop, beginMs), toMs: day.startMs }] : [];
  });
}

function observeLeg(m: Measure, leg: Leg, beginMs: number, endMs: number): Observation[] {
  const told = startedAt(m, leg);
  const fixed = fixedAt(m, leg);
  const breaks = breaksOf(m, leg);
  const begin = told ?? afterNight(m, beginMs, fixed ?? endMs);
  if (fixed === undefined || fixed <= begin || fixed >= endMs) {
    return endMs > begin ? [observe(m, workTold(m, begin, endMs, breaks.allMin), [leg.whole])] : [];
  }
  const leadMin = workTold(m, begin, fixed, breaks.leadMin);
  const restMin = workTold(m, fixed, endMs, breaks.allMin - breaks.leadMin);
  return [observe(m, leadMin, [leg.untilFixed]), observe(m, restMin, [leg.afterFixed])];
}

/**
 * What the told times say about pace: one observation for each stretch between two known moments.
 * A pitch with `fixed` gives two; pitches nobody posted are taken together with the next one posted.
 *
 * @param current index of the first leg not done; only what is finished is learnt from
 */
export function observationsOf(m: Measure, legs: readonly Leg[], current: number): Observation[] {
  const out: Observation[] = [];
  let from = 0;
  let begin = m.input.plannedStartMs;
  for (let k = 0; k <= Math.min(current, legs.length - 1); k++) {
    const leg = legs[k] as Leg;
    if (from === k) begin = startedAt(m, leg) ?? begin;
    if (k === current) {
      const fixed = fixedAt(m, leg);
      if (from === k && fixed !== undefined && begin !== undefined) {
        const start = startedAt(m, leg) ?? afterNight(m, begin, fixed);
        const leadMin = workTold(m, start, fixed, breaksOf(m, leg).leadMin);
        if (leadMin > 0) out.push(observe(m, leadMin, [leg.untilFixed]));
      }
      break;
    }
    // How long it took, or the one above it without a start of its own, nobody knows.
    if (m.input.pitches[leg.last]?.actual?.doneTimeUnknown === true) {
      begin = undefined;
      from = k + 1;
      continue;
    }
    const next = legs[k + 1];
    // Told in one go with the next, they are one stretch; apart, one of them would have taken no time.
    if (next && doneAt(m, leg) !== undefined && doneAt(m, leg) === doneAt(m, next)) continue;
    const end = endOf(m, leg, next);
    if (end === undefined) continue;
    if (begin !== undefined && from === k) {
      out.push(...observeLeg(m, leg, begin, end));
    } else if (begin !== undefined) {
      const own = legs.slice(from, k + 1);
      const breakMin = own.reduce((sum, l) => sum + breaksOf(m, l).allMin, 0);
      const pauses = [...m.pauses, ...nightsWithin(m, begin, end)];
      const work = workTold({ ...m, pauses }, begin, end, breakMin);
      if (work > 0)
        out.push(
          observe(
            m,
            work,
            own.map((l) => l.whole),
          ),
        );
    }
    begin = end;
    from = k + 1;
  }
  return out;
}
