import type { TripState } from '../trip/state.ts';
import { type Expectation, isAbout, lastSign, unmet, watched } from './expectations.ts';
import { phaseNow } from './ladder.ts';

const MINUTE_MS = 60_000;
/** The party is reminded of what it promised this long before. Engineering choice. */
export const AHEAD_MS = 30 * MINUTE_MS;

/** What the party is reminded of before its time: what it promised or agreed itself. */
const REMINDED: ReadonlySet<Expectation['kind']> = new Set([
  'checkin',
  'nightly',
  'topout',
  'down',
  'callout',
]);

/**
 * When the party is to be reminded of each thing it promised: half an hour ahead, unless it promised or
 * spoke within that time.
 */
export function aheadDeadlines(
  state: TripState,
): { key: string; dueAtMs: number; data: null; about: Expectation }[] {
  if (!watched(state)) return [];
  return unmet(state).flatMap((about) => {
    const dueAtMs = about.dueMs - AHEAD_MS;
    // Whoever has just set it has just thought of it.
    if (!REMINDED.has(about.kind) || setAtMs(state, about) > dueAtMs) return [];
    return [{ key: `ahead:${about.key}:${about.dueMs}`, dueAtMs, data: null, about }];
  });
}

function setAtMs(state: TripState, { kind, key }: Expectation): number {
  const { watch } = state;
  if (kind === 'topout' || kind === 'down' || kind === 'callout') {
    return watch.planSet[`${kind}Ms`]?.atMs ?? 0;
  }
  const promise = watch.promises.find((p) => key === `checkin:${p.id}`);
  const made =
    promise === undefined ? undefined : state.entries[promise.seq - 1]?.event.recordedAtMs;
  return made ?? 0;
}

/** What to remind of at `nowMs`: still unmet, still ahead, nothing heard shortly before, and no alarm. */
export function remindsOf(
  state: TripState,
  { key, dueMs }: Pick<Expectation, 'key' | 'dueMs'>,
  nowMs: number,
): Expectation | undefined {
  if (dueMs <= nowMs || phaseNow(state) !== undefined) return undefined;
  const heardMs = lastSign(state)?.recordedAtMs ?? 0;
  if (heardMs > dueMs - AHEAD_MS) return undefined;
  return unmet(state).find((e) => isAbout({ root: key, dueMs }, e));
}
