import type { Call } from '../../src/app/command.ts';
import { mustMeanWell } from '../../src/app/trouble-asked.ts';
import { exactTime, toldTime } from '../../src/app/when.ts';
import { Refusal } from '../../src/say/refusal.ts';
import type { Line } from '../../src/say/reply.ts';
import { durationMin } from '../../src/time/duration.ts';
import { dayClock } from '../../src/time/format.ts';
import type { Draft, Fact } from '../../src/trip/fact.ts';
import { modeOf } from '../../src/trip/mode.ts';
import type { TripState } from '../../src/trip/state.ts';
import type { BreakArgs } from './break.ts';

const MINUTE_MS = 60_000;
/** Longer than this is a night or the end of a trip, not a wait. Engineering choice. */
const LONGEST_MS = 48 * 60 * MINUTE_MS;

/**
 * A wait that begins, or with `wait:over` one that ends.
 *
 * @throws Refusal where no wait is told, the time can't be read, or the words speak of trouble
 */
export function waitDraft(state: TripState, call: Call, args: Partial<BreakArgs>): Draft {
  const { wait = '', why = 'other', words, minutes, sure = false } = args;
  if (minutes !== undefined) {
    throw new Refusal(
      'waiting',
      'minutes: is for a break that is over, wait: for one that goes on. Give one.',
    );
  }
  const told = toldTime(state, call, args.at);
  if (/^(over|end|ended|done|no)$/iu.test(wait.trim())) {
    const open = state.waits.at(-1);
    if (open !== undefined && open.endedMs === undefined && told.atMs < open.sinceMs) {
      throw new Refusal(
        'waiting',
        'The wait began later than that. Give a later time, like at:-5m.',
      );
    }
    return { kind: 'wait.ended', data: {}, ...told };
  }
  const carried = words !== undefined && words.length <= 40 ? { words } : {};
  mustMeanWell(words, sure, {
    label: 'All are well',
    // The wait began when it was posted, not when this is pressed.
    press: {
      path: 'pitch break',
      options: { wait, why, at: exactTime(told.atMs), sure: true, ...carried },
    },
  });
  const untilMs = /^(open|yes)$/iu.test(wait.trim())
    ? undefined
    : end(state, call, wait, told.atMs);
  return {
    kind: 'wait.began',
    data: {
      why,
      ...(words === undefined ? {} : { words }),
      ...(untilMs === undefined ? {} : { untilMs }),
    },
    ...told,
  };
}

/** `2h` from its beginning, or `16:00`. */
function end(state: TripState, call: Call, typed: string, fromMs: number): number {
  const wait = typed.trim().replace(/^(?:until|till|to) /iu, '');
  const min = /^\d{1,2}:\d\d$/u.test(wait) ? undefined : durationMin(wait);
  const untilMs =
    min === undefined ? toldTime(state, call, wait, 'future').atMs : fromMs + min * MINUTE_MS;
  if (untilMs <= call.atMs) {
    throw new Refusal('time-past', [
      `${dayClock(state.zone, untilMs, call.atMs)} has passed already.`,
      ['A break that is over: ', { code: '/pitch break minutes:40' }],
    ]);
  }
  if (untilMs - fromMs > LONGEST_MS) {
    throw new Refusal(
      'unreadable-time',
      'That is longer than two days. Give a nearer end, or wait:open.',
    );
  }
  return untilMs;
}

/** What was understood, and how the wait ends. */
export function waitWords(state: TripState, made: Fact, nowMs: number): Line[] {
  const at = (ms: number) => dayClock(state.zone, ms, nowMs);
  if (made.kind !== 'wait.began') return [`The wait is over since ${at(made.atMs)}.`];
  const { why, untilMs } = made.data;
  const until = untilMs === undefined ? ', no end known' : ` until ${at(untilMs)}`;
  const counts = modeOf(state, nowMs).is === 'waiting';
  return [
    `Waiting${why === 'weather' ? ' for the weather' : ''} since ${at(made.atMs)}${until}.`,
    counts
      ? ['Sooner over: ', { code: '/pitch break wait:over' }, ', or the next pitch posted.']
      : 'Something told later has ended it already.',
  ];
}
