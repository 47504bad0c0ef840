import { unmet, watched } from '../../src/alarm/expectations.ts';
import { contacts, names, reachable } from '../../src/alarm/who.ts';
import { at, expected } from '../../src/alarm/words/common.ts';
import type { App } from '../../src/app/app.ts';
import type { Call } from '../../src/app/command.ts';
import { toldTime } from '../../src/app/when.ts';
import { undoButton } from '../../src/app/words/post.ts';
import { change, type Draft } from '../../src/record/change.ts';
import { look } from '../../src/record/trips.ts';
import { Refusal } from '../../src/say/refusal.ts';
import type { Line, Reply } from '../../src/say/reply.ts';
import type { TripState } from '../../src/trip/state.ts';
import type { PlanTime, WatchPlan } from '../../src/trip/watch-state.ts';
import { clockOf } from './clock.ts';

export interface PlanInput {
  once?: string | undefined;
  about?: string | undefined;
  nightly?: string | undefined;
  topout?: string | undefined;
  down?: string | undefined;
  callout?: string | undefined;
}

const TIMES: readonly [keyof PlanInput, PlanTime, string][] = [
  ['topout', 'topoutMs', 'Top-out'],
  ['down', 'downMs', 'Everyone down'],
  ['callout', 'calloutMs', 'Call-out time'],
];

/** Promises a word, or agrees times; without anything named it shows what is agreed. */
export async function checkinPlan(app: App, call: Call, input: PlanInput): Promise<Reply> {
  const named = Object.entries(input).filter(([key, v]) => v !== undefined && key !== 'about');
  if (named.length === 0) {
    if (input.about !== undefined) throw new Refusal('about: goes with once:, the time promised.');
    return shown((await look(app, call, 'act')).state, call.atMs);
  }
  const notes: string[] = [];
  return change(app, call, {
    decide({ state }) {
      notes.length = 0;
      const drafts = [
        ...planned(state, call, input, notes),
        ...promised(state, call, input, notes),
      ];
      return drafts;
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
}

function promised(state: TripState, call: Call, input: PlanInput, notes: string[]): Draft[] {
  const drafts: Draft[] = [];
  if (input.once !== undefined) {
    const when = toldTime(state, call, input.once, 'future');
    if (when.note !== undefined) notes.push(when.note);
    drafts.push({
      kind: 'watch.promised',
      data: { dueMs: when.atMs, ...(input.about === undefined ? {} : { about: input.about }) },
      typed: input.once,
    });
  }
  if (input.nightly !== undefined) {
    const none = isNone(input.nightly);
    const clock = none ? null : clockOf('nightly', input.nightly);
    drafts.push({ kind: 'watch.nightly', data: { clock }, typed: input.nightly });
  }
  return drafts;
}

function planned(state: TripState, call: Call, input: PlanInput, notes: string[]): Draft[] {
  const data: Partial<Record<PlanTime, number | null>> = {};
  for (const [option, time] of TIMES) {
    const typed = input[option];
    if (typed === undefined) continue;
    if (isNone(typed)) {
      data[time] = null;
      continue;
    }
    const when = toldTime(state, call, typed, 'future');
    if (when.note !== undefined) notes.push(when.note);
    data[time] = when.atMs;
  }
  if (Object.keys(data).length === 0) return [];
  inOrder({ ...state.watch.plan, ...data }, state, call.atMs);
  const typed = TIMES.map(([option]) => input[option]).filter((t) => t !== undefined);
  return [{ kind: 'watch.planned', data, typed: typed.join(', ') }];
}

/** A call-out before the party is even expected would send rescuers for nothing. */
function inOrder(
  plan: { [K in PlanTime]?: number | null | undefined },
  state: TripState,
  nowMs: number,
): void {
  const set = TIMES.flatMap(([option, time, label]) => {
    const atMs = plan[time];
    return atMs === undefined || atMs === null ? [] : [{ option, label, atMs }];
  });
  for (const [i, later] of set.entries()) {
    const before = set[i - 1];
    if (before === undefined || later.atMs > before.atMs) continue;
    throw new Refusal([
      [
        `${later.label} `,
        at(state, later.atMs, nowMs),
        ` is not after ${before.label.toLowerCase()} `,
        at(state, before.atMs, nowMs),
        '.',
      ],
      `Move both at once: ${before.option}: and ${later.option}:`,
    ]);
  }
}

function isNone(typed: string): boolean {
  return typed.trim().toLowerCase() === 'none';
}

/** Every time that is agreed, a line each. */
export function planLines(state: TripState, nowMs: number): Line[] {
  const { plan, nightly, promises } = state.watch;
  const time = (label: string, ms: number | undefined): Line[] =>
    ms === undefined ? [] : [[`${label} `, at(state, ms, nowMs), '.']];
  const open = new Set(unmet(state).map((e) => e.key));
  const coming = promises.filter((p) => !watched(state) || open.has(`checkin:${p.id}`));
  return [
    ...coming.map(
      (p): Line => [
        'Check-in ',
        at(state, p.dueMs, nowMs),
        `${p.about === undefined ? '' : `: ${p.about}`}.`,
      ],
    ),
    ...(nightly === undefined ? [] : [`Check-in every night at ${nightly.clock}.`]),
    ...TIMES.flatMap(([, key, label]) => time(label, (plan as WatchPlan)[key])),
  ];
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
  if (reached.length === 0) return [`${names(all)} can't be reached: /roster edit email: or user:`];
  return [`${names(reached)} ${reached.length === 1 ? 'is' : 'are'} told, with a calendar file.`];
}
