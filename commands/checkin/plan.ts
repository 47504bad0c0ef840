import { isUnconfirmed } from '../../src/alarm/consent.ts';
import { unmet, watched } from '../../src/alarm/expectations.ts';
import { planSeq } from '../../src/alarm/weaker.ts';
import { contacts, names, reachable } from '../../src/alarm/who.ts';
import { at, expected } from '../../src/alarm/words/common.ts';
import { planLines } from '../../src/alarm/words/plan.ts';
import { type Args, sub } from '../../src/app/command.ts';
import { noteOption, timeOption } from '../../src/app/options.ts';
import { partOptions } from '../../src/app/parts.ts';
import { undoButton } from '../../src/app/words/post.ts';
import { change } from '../../src/record/change.ts';
import { look } from '../../src/record/trips.ts';
import { Refusal } from '../../src/say/refusal.ts';
import type { Line, Reply } from '../../src/say/reply.ts';
import type { TripState } from '../../src/trip/state.ts';
import { agreed } from './agreed.ts';

const options = {
  once: timeOption('A word by this time: 18:00, +3h, tomorrow 07:00'),
  about: noteOption('What that word is about'),
  nightly: timeOption('A word every night at this wall time, like 21:00; none to stop'),
  topout: timeOption('Top-out by; none to take it away'),
  down: timeOption('Everyone down by; none to take it away'),
  callout: timeOption('When the contact calls the rescue service if nothing is heard'),
  ...partOptions,
  /** The plan that a button belongs to: the newest entry that set a time. */
  plan: { type: 'integer', description: 'Which plan', hidden: true },
} as const;

declare module '../../src/say/press.ts' {
  interface Paths {
    'checkin plan': typeof options;
  }
}

export type PlanArgs = Args<typeof options>;

/** Promises a word, or agrees times; without anything named it shows what is agreed. */
export const plan = sub({
  description: 'Promise a word, agree times; shows them when nothing is named',
  access: 'act',
  counts: ['times'],
  options,
  async run(call, args, app) {
    const named = Object.entries(args).filter(
      ([key, v]) => v !== undefined && !['about', 'who', 'apart', 'plan'].includes(key),
    );
    if (named.length === 0) {
      if (args.about !== undefined || args.who !== undefined)
        throw new Refusal('options-clash', 'about: and who: go with once:, the time promised.');
      return shown((await look(app, call, 'act')).state, call.atMs);
    }
    let notes: readonly string[] = [];
    return change(app, call, {
      // A button that names the time was the question; that it was pressed is the answer.
      ...(args.plan === undefined ? {} : { weakens: 'confirmed' as const }),
      decide({ state }) {
        mustBeOf(state, args.plan, call.atMs);
        const times = agreed(state, call, args);
        notes = times.notes;
        return times.drafts;
      },
      answer({ after, events }) {
        const first = events[0]?.seq;
        return {
          lines: [
            ...shown(after, call.atMs).lines,
            ...notes,
            ...(watched(after) ? told(after) : ['Watched from /trip depart on.']),
          ],
          buttons: first === undefined || events.length > 1 ? [] : [undoButton(first)],
        };
      },
    });
  },
});

/** A button that names a time belongs to the plan under which it was offered. */
function mustBeOf(state: TripState, plan: number | undefined, nowMs: number): void {
  if (plan === undefined || plan === planSeq(state)) return;
  throw new Refusal('button-over', [
    'The times have changed since that was asked; nothing is changed.',
    ...planLines(state, nowMs),
    ['Another time: ', { code: '/checkin plan callout:' }],
  ]);
}

function shown(state: TripState, nowMs: number): Reply {
  const lines = planLines(state, nowMs);
  if (lines.length === 0) {
    return {
      lines: [
        'Nothing is promised yet.',
        ['Like ', { code: '/checkin plan down:22:00 callout:"tomorrow 02:00" nightly:21:00' }],
      ],
    };
  }
  const { uncertaintyMin, alertMin } = state.watch.delays;
  const [next] = watched(state) ? unmet(state) : [];
  return {
    lines: [
      ...(next === undefined
        ? []
        : [['Next expected: ', expected(next), at(state, next.dueMs, nowMs), '.'] as Line]),
      ...lines,
      `Nothing heard: asked at once, contact told after ${uncertaintyMin} min, overdue after ${alertMin} min.`,
    ],
  };
}

function told(state: TripState): string[] {
  const reached = reachable(state);
  const all = contacts(state);
  if (all.length === 0) return ['There is no contact at home to tell: /roster add role:contact'];
  const silent = all.filter((p) => isUnconfirmed(state, p));
  if (reached.length === 0 && silent.length > 0)
    return [`NOBODY AT HOME is told: ${names(silent)} has not said yes to being contact yet.`];
  if (reached.length === 0) return [`${names(all)} can't be reached: /roster edit email: or user:`];
  return [`${names(reached)} ${reached.length === 1 ? 'is' : 'are'} told, with a calendar file.`];
}
