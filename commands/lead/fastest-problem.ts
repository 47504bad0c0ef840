import type { LeadTimes } from '../../src/forecast/lead-times.ts';
import { evenShares, type OrderProblem } from '../../src/forecast/order/problem.ts';
import { leads, mayLead } from '../../src/trip/rotation.ts';
import type { TripState } from '../../src/trip/state.ts';
import type { FastestArgs } from './fastest.ts';
import type { Wish } from './wishes.ts';

/**
 * The leads to come as a problem of the fastest order. `ids` are those who may lead; `columns` says
 * where each of them stands in a row of `times.minutes`.
 */
export function problemOf(
  state: TripState,
  ids: readonly string[],
  columns: readonly number[],
  times: LeadTimes,
  wishes: readonly Wish[],
  { slack, rest }: FastestArgs,
): OrderProblem {
  const leadsOf = (n: number, last: number) => state.pitches.slice(n - 1, last);
  const pinned = times.firstPitches.map((first) => {
    const byHand = ids.indexOf(state.assigned.get(first)?.leader ?? '');
    return byHand < 0 ? undefined : byHand;
  });
  const minutes = times.minutes.map((row, i) => {
    const own = leadsOf(times.firstPitches[i] as number, times.lastPitches[i] as number);
    return ids.map((id, j) =>
      // Whoever was assigned by hand has it, whatever their ceiling.
      pinned[i] === j || own.every((pitch) => mayLead(state, pitch, id))
        ? row[columns[j] as number]
        : undefined,
    );
  });
  const by = (wants: boolean) =>
    times.firstPitches.map((first, i) => {
      const who = wishes.filter(
        (w) => w.wants === wants && w.pitch >= first && w.pitch <= (times.lastPitches[i] as number),
      );
      return who.length === 0 ? undefined : who.map((w) => ids.indexOf(w.climber));
    });
  return {
    minutes,
    pinned,
    // A block saves no changeover that anybody published, so neither is charged.
    changeoverMin: { block: 0, swing: 0 },
    shares: evenShares(times.firstPitches.length, ids.length, slack ?? 1),
    wishedBy: by(true),
    notWishedBy: by(false),
    ...(rest === undefined ? {} : { maxRun: rest }),
    ...beforeOf(state, ids, times.firstPitches[0] as number),
  };
}

/** Who led the pitch below, and how many in a row: rest counts them, the shares start from here. */
function beforeOf(
  state: TripState,
  ids: readonly string[],
  first: number,
): Pick<OrderProblem, 'before'> {
  const below = leads(state)
    .slice(0, first - 1)
    .map((l) => l.leader ?? '');
  const last = below.at(-1);
  const leader = last === undefined ? -1 : ids.indexOf(last);
  if (leader < 0) return {};
  const run = below.length - 1 - below.findLastIndex((id) => id !== last);
  return { before: { leader, run, leads: ids.map(() => 0) } };
}
