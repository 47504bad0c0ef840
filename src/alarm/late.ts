import { openTroubles } from '../trip/conditions.ts';
import { isPastTop, modeOf } from '../trip/mode.ts';
import type { TripState } from '../trip/state.ts';
import type { Expectation } from './expectations.ts';

const MINUTE_MS = 60_000;

/** How long before an agreed time the party is asked whether it still holds. Engineering choice. */
export const ASK_BEFORE_MS = 60 * MINUTE_MS;
/** A projection later than the agreed time by less than this is not worth a question. */
export const LATE_BY_MS = 10 * MINUTE_MS;

/** What a forecast says of an agreed time: two quantiles, epoch milliseconds. */
export interface Projection {
  /** The median. */
  middleMs: number;
  /** The 90 % quantile. */
  cautiousMs: number;
  /** It is open on which day: the median lies between two, and isn't said. */
  isOpen?: true;
}

/** What a forecast says of the agreed times; left out where it says nothing. */
export interface Projected {
  topout?: Projection;
  down?: Projection;
}

/** The agreed times that the party can be asked about. */
export type AskedTime = 'topout' | 'down' | 'callout';

/** An agreed time, and another one that is offered in its place. */
export interface Proposal {
  what: AskedTime;
  agreedMs: number;
  /** Whole quarter of an hour, at or after the cautious time. */
  proposeMs: number;
}

/** A question to the party: the agreed time looks too early. */
export interface Ask extends Proposal {
  projectedMs?: number;
  why: 'middle-late' | 'cautious-late' | 'near';
  /** Later times that move with it: they look too early as well, or it would come after them. */
  also?: Proposal[];
}

const PLAN_OF = { topout: 'topoutMs', down: 'downMs', callout: 'calloutMs' } as const;

/**
 * Whether the party may be asked to move a time at all. Not while it retreats, waits or is in trouble, nor at the foot: what
 * a forecast of climbing on says is no reason then to put a call-out off.
 */
export function mayAsk(state: TripState, nowMs: number): boolean {
  const { is } = modeOf(state, nowMs);
  if (is === 'retreating' || is === 'waiting') return false;
  // At the foot by another way than over the top: nothing is left to climb.
  if (is === 'going down' && !isPastTop(state)) return false;
  return openTroubles(state).length === 0;
}

const ORDER = ['topout', 'down', 'callout'] as const satisfies readonly AskedTime[];
const QUARTER_MS = 15 * MINUTE_MS;
const quarterAfter = (ms: number) => Math.ceil((ms + 1) / QUARTER_MS) * QUARTER_MS;

/**
 * What to ask about agreed times that look too early: one question for all of them, so that one answer moves them
 * together and in their order. Top-out and down are asked about when the median of the forecast is past them. The
 * call-out time is asked about already when the 90 % quantile is, because a call-out for a party that is merely
 * slow costs others. Without a forecast, the call-out time is asked about when it is an hour away.
 */
export function askNow(
  open: readonly Expectation[],
  projected: Projected | undefined,
  nowMs: number,
): Ask | undefined {
  const times = ORDER.flatMap((what) => {
    const agreedMs = open.find((e) => e.kind === what)?.dueMs;
    return agreedMs === undefined || agreedMs <= nowMs ? [] : [{ what, agreedMs }];
  });
  const asks = times.map((time) => early(time, projected, nowMs));
  const first = asks.find((ask) => ask !== undefined);
  if (first === undefined) return undefined;
  const also: Proposal[] = [];
  let before: Proposal = first;
  for (const [i, time] of times.entries()) {
    if (ORDER.indexOf(time.what) <= ORDER.indexOf(first.what)) continue;
    const own = asks[i];
    if (own === undefined && time.agreedMs > before.proposeMs) continue;
    // It stays as long after the one before it as was agreed.
    const gapMs = Math.max(time.agreedMs - before.agreedMs, QUARTER_MS);
    const keptMs = quarterAfter(before.proposeMs + gapMs - 1);
    before = { ...time, proposeMs: Math.max(keptMs, own?.proposeMs ?? 0) };
    also.push(before);
  }
  return also.length === 0 ? first : { ...first, also };
}

function early(
  { what, agreedMs }: Pick<Proposal, 'what' | 'agreedMs'>,
  projected: Projected | undefined,
  nowMs: number,
): Ask | undefined {
  const forecast = what === 'topout' ? projected?.topout : projected?.down;
  if (forecast !== undefined) {
    const byMs = what === 'callout' ? forecast.cautiousMs : forecast.middleMs;
    if (!(byMs > agreedMs + LATE_BY_MS)) return undefined;
    const why = what === 'callout' ? 'cautious-late' : 'middle-late';
    return { what, agreedMs, ...proposal(forecast, what, agreedMs), why };
  }
  if (what !== 'callout' || agreedMs - nowMs > ASK_BEFORE_MS) return undefined;
  return { what, agreedMs, proposeMs: agreedMs + 2 * ASK_BEFORE_MS, why: 'near' };
}

function proposal(forecast: Projection, what: AskedTime, agreedMs: number) {
  const finite = Number.isFinite(forecast.cautiousMs) ? forecast.cautiousMs : agreedMs;
  // The call-out time keeps two hours of grace beyond the cautious end.
  const wantedMs = Math.max(finite, agreedMs) + (what === 'callout' ? 2 * ASK_BEFORE_MS : 0);
  const proposeMs = quarterAfter(wantedMs);
  // The time that gave reason to ask.
  const projectedMs = what === 'callout' ? forecast.cautiousMs : forecast.middleMs;
  const isSaid = Number.isFinite(projectedMs) && (what === 'callout' || forecast.isOpen !== true);
  return isSaid ? { proposeMs, projectedMs } : { proposeMs };
}

/**
 * When to compare the agreed times with a fresh forecast: an hour before each, and after every sign of
 * life. It is a deadline of its own, so that the post itself doesn't wait for the forecast.
 */
export function askDeadlines(
  state: TripState,
  open: readonly Expectation[],
): { key: string; dueAtMs: number; data: null }[] {
  const times = open.filter((e) => e.kind in PLAN_OF);
  if (times.length === 0) return [];
  const before = times.flatMap((e) => {
    const set = state.watch.planSet[PLAN_OF[e.kind as AskedTime]];
    const dueAtMs = e.dueMs - ASK_BEFORE_MS;
    // Whoever sets a time for the next hour has just thought about it.
    return set !== undefined && set.atMs > dueAtMs
      ? []
      : [{ key: `ask:${e.key}`, dueAtMs, data: null }];
  });
  const sign = state.watch.signs.at(-1);
  if (sign === undefined) return before;
  return [...before, { key: `ask:sign:${sign.seq}`, dueAtMs: sign.recordedAtMs, data: null }];
}
