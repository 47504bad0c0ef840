import { PLAN_LABEL } from '../../src/alarm/sheet-text.ts';
import { planSeq } from '../../src/alarm/weaker.ts';
import { at } from '../../src/alarm/words/common.ts';
import { clockTime } from '../../src/app/clock-time.ts';
import type { Call } from '../../src/app/command.ts';
import { type Spoken, spokenIn } from '../../src/app/parts.ts';
import { exactTime, toldTime } from '../../src/app/when.ts';
import { Refusal } from '../../src/say/refusal.ts';
import type { Button } from '../../src/say/reply.ts';
import type { Draft } from '../../src/trip/fact.ts';
import type { TripState } from '../../src/trip/state.ts';
import type { PlanTime } from '../../src/trip/watch-state.ts';
import type { PlanArgs } from './plan.ts';

/** The agreed times by their options, in the order in which they come. */
const TIMES = [
  ['topout', 'topoutMs'],
  ['down', 'downMs'],
  ['callout', 'calloutMs'],
] as const satisfies readonly [keyof PlanArgs, PlanTime][];

/** What is to be recorded of the times named, and what was assumed about them. */
export function agreed(
  state: TripState,
  call: Call,
  args: PlanArgs,
): { drafts: Draft[]; notes: string[] } {
  const notes: string[] = [];
  const drafts = [...planned(state, call, args, notes), ...promised(state, call, args, notes)];
  return { drafts, notes };
}

function planned(state: TripState, call: Call, args: PlanArgs, notes: string[]): Draft[] {
  const data: Partial<Record<PlanTime, number | null>> = {};
  for (const [option, time] of TIMES) {
    const typed = args[option];
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
  const typed = TIMES.flatMap(([option]) => args[option] ?? []);
  return [{ kind: 'watch.planned', data, typed: typed.join(', ') }];
}

function promised(state: TripState, call: Call, args: PlanArgs, notes: string[]): Draft[] {
  const drafts: Draft[] = [];
  if (args.once !== undefined) {
    const when = toldTime(state, call, args.once, 'future');
    if (when.note !== undefined) notes.push(when.note);
    const spoken = promisedBy(state, call, args, when.atMs);
    drafts.push(...spoken.drafts, {
      kind: 'watch.promised',
      data: {
        dueMs: when.atMs,
        ...(args.about === undefined ? {} : { about: args.about }),
        ...(spoken.who === undefined ? {} : { who: spoken.who }),
      },
      typed: args.once,
    });
  }
  if (args.nightly !== undefined) {
    const none = isNone(args.nightly);
    const clock = none ? null : clockTime('nightly', args.nightly, '21:00 or 9pm');
    drafts.push({ kind: 'watch.nightly', data: { clock }, typed: args.nightly });
  }
  return drafts;
}

/** Whose word it will be, in a party in parts. */
function promisedBy(state: TripState, call: Call, args: PlanArgs, dueMs: number): Spoken {
  const { about } = args;
  const keep = about !== undefined && about.length <= 20 ? { about } : {};
  return spokenIn(state, call, args, call.atMs, (label, of) => ({
    label,
    press: { path: 'checkin plan', options: { once: exactTime(dueMs), ...keep, ...of } },
  }));
}

/** A call-out before the party is even expected would send rescuers for nothing. */
function inOrder(
  plan: { [K in PlanTime]?: number | null | undefined },
  state: TripState,
  nowMs: number,
): void {
  const set = TIMES.flatMap(([option, time]) => {
    const atMs = plan[time];
    return atMs === undefined || atMs === null ? [] : [{ option, label: PLAN_LABEL[time], atMs }];
  });
  for (const [i, later] of set.entries()) {
    const before = set[i - 1];
    if (before === undefined || later.atMs > before.atMs) continue;
    throw new Refusal(
      'bad-order',
      [
        [
          `${later.label} `,
          at(state, later.atMs, nowMs),
          ` is not after ${before.label.toLowerCase()} `,
          at(state, before.atMs, nowMs),
          '.',
        ],
        `Move both at once: ${before.option}: and ${later.option}:`,
      ],
      [bothButton(state, before, later)],
    );
  }
}

/** Asks for both times that came in the wrong order. */
function bothButton(
  state: TripState,
  ...times: { option: 'topout' | 'down' | 'callout'; label: string }[]
): Button {
  return {
    label: 'Move both',
    press: { path: 'checkin plan', options: { plan: planSeq(state) } },
    ask: {
      title: 'Both times',
      fields: times.map(({ option, label }) => ({
        name: option,
        label,
        placeholder: '22:30, +2h, tomorrow 06:00',
      })),
    },
  };
}

function isNone(typed: string): boolean {
  return typed.trim().toLowerCase() === 'none';
}
