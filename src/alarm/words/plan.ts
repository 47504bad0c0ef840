import { ENGLISH, type Words } from '../../say/contact/words.ts';
import type { Line } from '../../say/reply.ts';
import type { Fact } from '../../trip/fact.ts';
import type { TripState } from '../../trip/state.ts';
import type { PlanTime } from '../../trip/watch-state.ts';
import { unmet, watched } from '../expectations.ts';
import { PLAN_LABEL } from '../sheet-text.ts';
import { at } from './common.ts';
import { byWords, type Home, partyIn, when, whoIn } from './home.ts';

/** What has just changed about the times: the departure, or which time moved and who moved it. */
export function changeLines(
  h: Home,
  { seq, departed, upAgain }: { seq: number; departed: boolean; upAgain?: boolean | undefined },
): Line[] {
  const { w, state } = h;
  const trip = state.name;
  if (upAgain === true) return [w.say('plan.upAgain')];
  if (departed) {
    const left = state.departedAtMs;
    const whose = { ...partyIn(h), trip };
    return [
      left === undefined
        ? w.say('plan.leftUntimed', whose)
        : w.say('plan.left', { ...whose, when: when(h, left) }),
    ];
  }
  const moved = state.watch.moved.filter((m) => m.seq >= seq);
  const number = state.entries.find(({ event }) => event.seq >= seq && setsNumber(event))?.event;
  const numberLine =
    number === undefined
      ? []
      : [w.say('plan.number', { number: state.emergencyNumber ?? '', by: number.by.name })];
  if (moved.length === 0 && number === undefined) return [w.say('plan.changed', { trip })];
  const lines = moved.map((m): Line => {
    const said = { what: m.what, by: movedBy(w, state, m) };
    if (m.toMs === undefined) return w.say('plan.taken', said);
    return w.say('plan.moved', { ...said, from: when(h, m.fromMs), to: when(h, m.toMs) });
  });
  return [...numberLine, ...lines];
}

/** Who moved it; both, where one asked and another agreed. */
function movedBy(
  w: Words,
  { watch }: TripState,
  moved: TripState['watch']['moved'][number],
): string {
  const agreed = watch.agreed.findLast((a) => a.atMs === moved.atMs && a.seq < moved.seq);
  return byWords(w, moved.by, watch.asked.find((a) => a.seq === agreed?.asked)?.by.name);
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
export function promiseLines(state: TripState, nowMs: number, w: Words = ENGLISH): Line[] {
  const h = { w, state, nowMs };
  const open = new Set(unmet(state).map((e) => e.key));
  const coming = state.watch.promises.filter((p) => !watched(state) || open.has(`checkin:${p.id}`));
  return coming.map((p) => {
    const due = when(h, p.dueMs);
    const promise =
      p.who === undefined
        ? w.say('plan.promise', { when: due })
        : w.say('plan.promiseOf', { who: whoIn(w, state, p.who), when: due });
    return p.about === undefined
      ? promise
      : w.say('plan.promiseAbout', { promise, about: p.about });
  });
}
