import type { Line } from '../../say/reply.ts';
import type { Fact } from '../../trip/fact.ts';
import { whoWords } from '../../trip/kinds/trouble.ts';
import type { TripState } from '../../trip/state.ts';
import type { PlanTime } from '../../trip/watch-state.ts';
import { unmet, watched } from '../expectations.ts';
import { PLAN_LABEL } from '../sheet-text.ts';
import { partyNames, verb } from '../who.ts';
import { at } from './common.ts';

/** What has just changed about the times: the departure, or which time moved and who moved it. */
export function changeLines(
  state: TripState,
  { seq, departed, upAgain }: { seq: number; departed: boolean; upAgain?: boolean | undefined },
  nowMs: number,
): Line[] {
  if (upAgain === true) {
    return [
      'That everyone is down was taken back: they are still up there, and are watched again.',
    ];
  }
  if (departed) {
    const left = state.departedAtMs;
    return [
      [
        `${partyNames(state)} ${verb(state, 'has', 'have')} left for ${state.name}`,
        ...(left === undefined ? [] : [', ', at(state, left, nowMs)]),
        '.',
      ],
    ];
  }
  const moved = state.watch.moved.filter((m) => m.seq >= seq);
  const number = state.entries.find(({ event }) => event.seq >= seq && setsNumber(event))?.event;
  const numberLine =
    number === undefined
      ? []
      : [`The emergency number is now ${state.emergencyNumber}, set by ${number.by.name}.`];
  if (moved.length === 0 && number === undefined)
    return [`The times for ${state.name} have changed.`];
  const lines = moved.map((m): Line => {
    const label = PLAN_LABEL[m.what];
    if (m.toMs === undefined) return `${label}: taken away by ${by(state, m)}.`;
    return [
      `${label} moved from `,
      at(state, m.fromMs, nowMs),
      ' to ',
      at(state, m.toMs, nowMs),
      ` by ${by(state, m)}.`,
    ];
  });
  return [...numberLine, ...lines];
}

/** Who moved it; both, where one asked and another agreed. */
function by({ watch }: TripState, moved: TripState['watch']['moved'][number]): string {
  const agreed = watch.agreed.findLast((a) => a.atMs === moved.atMs && a.seq < moved.seq);
  const asker = watch.asked.find((a) => a.seq === agreed?.asked)?.by.name;
  return asker === undefined || asker === moved.by ? moved.by : `${asker}, agreed by ${moved.by}`;
}

function setsNumber(fact: Fact): boolean {
  return fact.kind === 'trip.edited' && fact.data.emergencyNumber !== undefined;
}

/** Every time that is agreed, a line each. */
export function planLines(state: TripState, nowMs: number): Line[] {
  const { plan, nightly } = state.watch;
  const time = (label: string, ms: number | undefined): Line[] =>
    ms === undefined ? [] : [[`${label} `, at(state, ms, nowMs), '.']];
  return [
    ...promiseLines(state, nowMs),
    ...(nightly === undefined ? [] : [`Check-in every night at ${nightly.clock}.`]),
    ...(Object.keys(PLAN_LABEL) as PlanTime[]).flatMap((what) =>
      time(PLAN_LABEL[what], plan[what]),
    ),
  ];
}

/** Promised words that are still to come, a line each. */
export function promiseLines(state: TripState, nowMs: number): Line[] {
  const open = new Set(unmet(state).map((e) => e.key));
  const coming = state.watch.promises.filter((p) => !watched(state) || open.has(`checkin:${p.id}`));
  return coming.map((p) => [
    `Check-in ${p.who === undefined ? '' : `of ${whoWords(state, p.who)} `}`,
    at(state, p.dueMs, nowMs),
    `${p.about === undefined ? '' : `: ${p.about}`}.`,
  ]);
}
