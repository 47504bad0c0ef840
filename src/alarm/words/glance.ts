import type { Line } from '../../say/reply.ts';
import { isOver } from '../../trip/mode.ts';
import { nameOf, type TripState } from '../../trip/state.ts';
import type { WatchState } from '../../trip/watch-state.ts';
import { lastSign, unmet, watched } from '../expectations.ts';
import { phaseNow, reached } from '../ladder.ts';
import { hasInHand } from '../repeats.ts';
import { FIELD } from '../who.ts';
import { awaited, elsewhereLines, type Home, lastHeardIn, numberIn, when } from './home.ts';
import { promiseLines } from './plan.ts';
import { troubleLines } from './trouble.ts';

/** The call to the rescue service, if one was noted and nothing was heard of the party since. */
export function calledOut(state: TripState): WatchState['called'][number] | undefined {
  const heardSeq = lastSign(state)?.seq ?? 0;
  return state.watch.called.findLast((c) => c.seq > heardSeq);
}

/** What stands, then who was told and who has it in hand, and whether the rescue service was called; nothing without an alarm. */
export function standsIn(h: Home): Line[] {
  const { w, state, nowMs } = h;
  const raised = phaseNow(state);
  if (raised === undefined) return [];
  const since = { when: when(h, raised.dueMs) };
  const root = raised.root.startsWith('trouble:') ? 'trouble' : raised.root;
  const told = [...reached(state)].map(([group, r]) => {
    const name = group === FIELD ? w.text('who.channel') : nameOf(state, group);
    return hasInHand(state, group, r, nowMs) ? w.text('stands.inHand', { name }) : name;
  });
  const called = calledOut(state);
  return [
    root === 'callout' || root === 'silence' || root === 'trouble'
      ? w.say(`stands.${root}`, since)
      : w.say('stands.overdue', since),
    w.say('stands.told', { names: told.join(', ') }),
    ...(called === undefined
      ? []
      : [w.say('stands.called', { when: when(h, called.atMs), by: called.by.name })]),
  ];
}

/** The next word that is expected, or why none is. */
export function nextWordIn(h: Home): Line {
  const { w, state, nowMs } = h;
  if (isOver(state)) return w.say('page.isDown');
  if (!watched(state)) return w.say('page.notLeft');
  const [next] = unmet(state);
  if (next === undefined) return w.say('page.nothingDue');
  return w.say(next.dueMs < nowMs ? 'page.missed' : 'page.expected', { what: awaited(h, next) });
}

/** The watch at a glance, as a contact reads it: what stands, what was heard, what comes next, which times are agreed. */
export function glanceIn(h: Home): Line[] {
  const { w, state, nowMs } = h;
  if (!watched(state)) return [nextWordIn(h)];
  const [stands, ...about] = standsIn(h);
  const { downMs, calloutMs } = state.watch.plan;
  const troubles = state.troubles.filter((t) => t.over === undefined);
  return [
    ...(stands === undefined ? [] : [[...(typeof stands === 'string' ? [stands] : stands), '.']]),
    ...troubles.flatMap((t) => troubleLines(state, t, nowMs, w)),
    lastHeardIn(h),
    ...about,
    nextWordIn(h),
    ...promiseLines(state, nowMs, w),
    downMs === undefined ? w.say('plan.noDown') : w.say('plan.down', { when: when(h, downMs) }),
    calloutMs === undefined
      ? w.say('plan.noCallout')
      : w.say('plan.callout', { when: when(h, calloutMs), number: numberIn(w, state) }),
    ...elsewhereLines(h),
  ];
}
