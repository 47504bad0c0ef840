import { personById, type TripState } from '../trip/state.ts';
import type { Raised } from '../trip/watch-state.ts';
import { isUnconfirmed, waysSaid } from './consent.ts';
import { reached, standing, toldOf } from './ladder.ts';

const MINUTE_MS = 60_000;

/**
 * Minutes from one telling to the next. The last gap is used again and again. The gaps are long on
 * purpose: a person who is flooded stops reading. Engineering choice.
 */
const GAPS_MIN = {
  alert: [15, 30, 60, 60, 60, 60, 120],
  distress: [10, 15, 30, 60, 60, 60, 60, 60, 60, 60, 60, 120],
} as const;
/** Most repeats of one phase, more than nine days of them: an alarm never falls silent by itself. */
export const REPEATS_MAX = 120;

/** A repeat of a phase: which one, from 1, and when it is due, epoch milliseconds. */
export interface Repeat {
  n: number;
  atMs: number;
}

/** The repeats of a phase from the first to the last; none for due and uncertainty, which are told once. */
export function* repeatsOf({ phase, atMs }: Raised): Generator<Repeat> {
  if (phase !== 'alert' && phase !== 'distress') return;
  const gaps = GAPS_MIN[phase];
  let at = atMs;
  for (let n = 1; n <= REPEATS_MAX; n++) {
    at += (gaps[Math.min(n, gaps.length) - 1] as number) * MINUTE_MS;
    yield { n, atMs: at };
  }
}

/** Whether somebody is reminded of a phase: what is milder than an alert is told once. */
export function isReminded({ phase }: Pick<Raised, 'phase'>): boolean {
  return phase in GAPS_MIN;
}

/** The last repeat that is due by now, and the next; either may be missing. */
export function repeatsRound(raised: Raised, nowMs: number): { last?: Repeat; next?: Repeat } {
  let last: Repeat | undefined;
  for (const next of repeatsOf(raised)) {
    if (next.atMs > nowMs) return last === undefined ? { next } : { last, next };
    last = next;
  }
  return last === undefined ? {} : { last };
}

/** The newest word by which this group took the alarm in hand, since it was told of this phase. */
export function handOf(
  state: TripState,
  group: string,
  raised: Raised,
): TripState['watch']['acks'][number] | undefined {
  return state.watch.acks.findLast((a) => a.seq > raised.seq && a.person === group);
}

/** Whether the rescue service was called about it. */
export function calledSince(state: TripState, raised: Raised): boolean {
  return state.watch.called.some((c) => c.seq > raised.seq);
}

/** Minutes for which this group has an alarm in hand once it said so. */
export function handMin({ watch }: TripState, group: string): number {
  return watch.delaysOf.get(group)?.handMin ?? watch.delays.handMin;
}

/** Whether this group need not be reminded at `nowMs`: it has the alarm in hand, or somebody has called. */
export function acked(state: TripState, group: string, raised: Raised, nowMs: number): boolean {
  return calledSince(state, raised) || hasInHand(state, group, raised, nowMs);
}

/**
 * Whether this group has the alarm in hand at `nowMs`. To take it in hand is a promise to act, not the
 * end of anything: it lapses, and the reminders go on.
 */
export function hasInHand(state: TripState, group: string, raised: Raised, nowMs: number): boolean {
  if (hasLeft(state, group)) return false;
  const ack = handOf(state, group, raised);
  return ack !== undefined && nowMs < ack.atMs + handMin(state, group) * MINUTE_MS;
}

/** Whether a contact is off the roster or has said no, so that nobody has in hand what they had; the channel never leaves. */
export function hasLeft(state: TripState, group: string): boolean {
  const person = personById(state, group);
  if (person === undefined) return false;
  if (person.leftAtMs !== undefined) return true;
  const said = (what: 'yes' | 'no' | 'asked') => waysSaid(state, person, what).length > 0;
  return person.roles.includes('contact') && said('no') && !said('yes') && !said('asked');
}

/**
 * Groups whose highest phase this is: only of that one is anybody reminded.
 *
 * @param top what each group has reached, for whoever asks of many
 */
export function concerned(state: TripState, raised: Raised, top = reached(state)): string[] {
  return toldOf(state, raised).filter((group) => top.get(group)?.seq === raised.seq);
}

/**
 * Who has to be reminded of this phase now: told of nothing higher since, and without it in hand. Whoever
 * never agreed to be contact is told once.
 */
export function unacked(state: TripState, raised: Raised, nowMs: number): string[] {
  return concerned(state, raised).filter(
    (group) => agreed(state, group) && !acked(state, group, raised, nowMs),
  );
}

/** Whether a group may be told more than once: the channel, or who has not to be asked first. */
export function agreed(state: TripState, group: string): boolean {
  const person = personById(state, group);
  return person === undefined || !isUnconfirmed(state, person);
}

/**
 * Phases of which somebody is or will be reminded: those that stand, whoever has them in hand for now,
 * until the rescue service is called.
 */
export function repeating(state: TripState, top = reached(state)): Raised[] {
  return standing(state).filter(
    (r) => isReminded(r) && !calledSince(state, r) && concerned(state, r, top).length > 0,
  );
}

/** When what a group took in hand lapses, by the entry that said so, epoch milliseconds. */
export function lapses(state: TripState): { ack: number; raised: Raised; atMs: number }[] {
  const top = reached(state);
  return repeating(state, top).flatMap((raised) =>
    concerned(state, raised, top).flatMap((group) => {
      const ack = handOf(state, group, raised);
      if (ack === undefined) return [];
      return [{ ack: ack.seq, raised, atMs: ack.atMs + handMin(state, group) * MINUTE_MS }];
    }),
  );
}
