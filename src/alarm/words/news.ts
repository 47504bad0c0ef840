import type { Message } from '../../say/message.ts';
import type { Line } from '../../say/reply.ts';
import { whoWords } from '../../trip/kinds/trouble.ts';
import { isSplit, partsOf } from '../../trip/parts.ts';
import { nameOf, type TripState } from '../../trip/state.ts';
import { unmet } from '../expectations.ts';
import { FIELD, partyNames, verb } from '../who.ts';
import { at, capital, emergency, expected, lastHeard, NOT_A_RESCUE } from './common.ts';
import { heardWords } from './mode.ts';
import { promiseLines } from './plan.ts';
import { standDownButtons, standDownLines } from './stand-down.ts';

/** `heard`, `over` and `down` answer the alarm; the others only change what is watched. */
export type EndedWhy = 'heard' | 'over' | 'down' | 'moved' | 'closed' | 'struck';

/**
 * To everyone who was alarmed: it is over, and why; or what was changed, and that nobody has been
 * heard from.
 */
export function endedMessage(
  state: TripState,
  {
    seq,
    why,
    by,
    still = false,
  }: { seq: number; why: EndedWhy; by: string; still?: boolean | undefined },
  nowMs: number,
): Message {
  const party = partyNames(state);
  const were = verb(state, 'was', 'were');
  const sign = state.watch.signs.at(-1);
  const first: Record<EndedWhy, Line> = {
    heard:
      sign === undefined
        ? `${party} ${were} heard from.`
        : [
            `${party} ${were} heard from, `,
            at(state, sign.atMs, nowMs),
            `: ${heardWords(state, sign, nowMs)} (from ${sign.by.name}).`,
          ],
    down: [
      'Everyone is down',
      ...(state.downAtMs === undefined ? [] : [', ', at(state, state.downAtMs, nowMs)]),
      `. Told by ${by}.`,
    ],
    over: overLine(state, seq, by),
    moved: `The time ${party} ${were} late for was moved by ${by}.`,
    closed: `${by} closed the trip. Nobody watches the clock any more.`,
    struck: `What ${party} ${were} late for was taken back by ${by}.`,
  };
  const answered = !still && (why === 'heard' || why === 'over' || why === 'down');
  return {
    subject: `${state.name}: ${answered ? 'alarm over' : 'the watch was changed'}`,
    buttons: answered ? standDownButtons(state) : [],
    lines: [
      first[why],
      ...(answered
        ? ['The alarm is over.', ...standDownLines(state, nowMs)]
        : [
            still
              ? 'An alarm stands all the same. Whoever was called out stays called out.'
              : 'Nobody has been heard from. Whoever was called out stays called out.',
            lastHeard(state, nowMs),
          ]),
      ...nextLines(state, nowMs),
    ],
  };
}

/** The newest end up to this entry: another may have ended since. */
function overLine(state: TripState, seq: number, by: string): string {
  const [ended] = state.troubles
    .filter((t) => t.over !== undefined && t.over.seq <= seq)
    .sort((a, b) => (b.over?.seq ?? 0) - (a.over?.seq ?? 0));
  if (ended?.over === undefined) return `The trouble is over, says ${by}.`;
  const how = ended.over.left === 'out' ? 'off the wall' : 'well';
  return `${capital(whoWords(state, ended.who))}: ${how}. “${ended.over.said}” (told by ${by}).`;
}

/** What the watch waits for next. */
export function nextLines(state: TripState, nowMs: number): Line[] {
  const [next] = unmet(state);
  if (next === undefined) return [];
  const late = next.dueMs <= nowMs;
  return [[late ? 'Still open: ' : 'Next: ', expected(next), at(state, next.dueMs, nowMs), '.']];
}

/** Somebody has called the rescue service. */
export function calledMessage(state: TripState, seq: number, nowMs: number): Message {
  const called = state.watch.called.find((c) => c.seq === seq);
  return {
    subject: `${state.name}: the call-out was made`,
    lines: [
      [
        `${called?.by.name ?? 'Somebody'} has called the rescue service`,
        ...(called === undefined ? [] : [', ', at(state, called.atMs, nowMs)]),
        called?.words === undefined ? '.' : `: ${called.words}`,
      ],
      'Reminders stop. Any word from the party still goes to everyone.',
    ],
  };
}

/** The party left, or a time moved: what a contact has to know, to be sent with the calendar file. */
export function planMessage(state: TripState, changes: readonly Line[], nowMs: number): Message {
  const { plan, nightly } = state.watch;
  const times: Line[] = [
    ...(isSplit(state)
      ? [
          `In parts: ${partsOf(state)
            .map((p) => whoWords(state, p.who))
            .join(' · ')}.`,
        ]
      : []),
    ...promiseLines(state, nowMs),
    ...(plan.downMs === undefined
      ? ['No time for everyone down is agreed.']
      : [['Everyone down by ', at(state, plan.downMs, nowMs), '.'] as Line]),
    ...(nightly === undefined ? [] : [`A check-in every night at ${nightly.clock}.`]),
    ...(plan.calloutMs === undefined
      ? ['No call-out time is agreed: agree one with them.']
      : [
          [
            'Call-out time ',
            at(state, plan.calloutMs, nowMs),
            `: if nothing is heard by then, call ${emergency(state)}.`,
          ] as Line,
        ]),
  ];
  return {
    subject: `${state.name}: times`,
    lines: [
      ...changes,
      ...times,
      'The file puts these times into your calendar, with alarms that need neither us nor a network.',
      NOT_A_RESCUE,
    ],
  };
}

/** Nothing is to be waited for any more; sent with a file that clears the calendar. */
export function overMessage(state: TripState, nowMs: number): Message {
  if (state.downAtMs !== undefined) {
    return {
      subject: `${state.name}: everyone is down`,
      lines: [
        [
          `${partyNames(state)} ${verb(state, 'is', 'are')} down, `,
          at(state, state.downAtMs, nowMs),
          '. Nothing more to do.',
        ],
        'The file takes the times out of your calendar.',
      ],
    };
  }
  return {
    subject: `${state.name}: the watch has stopped`,
    lines: [
      state.closedAtMs === undefined
        ? 'The departure was taken back: the party has not left.'
        : 'The trip was closed and nobody said that everyone is down. Ask the party.',
      'The watch has stopped: nobody is told if they are late. The file takes the times out of your calendar.',
    ],
  };
}

/** A rehearsal: the same buttons, plainly marked. */
export function drillMessage(state: TripState, to: string): Message {
  return {
    subject: `${state.name}: rehearsal, nobody is overdue`,
    buttons: [
      {
        label: "I've got it",
        tone: 'main',
        press: { path: 'overdue ack', options: { drill: true } },
      },
    ],
    lines: [
      `REHEARSAL. Nobody is overdue. ${nameOf(state, to)}, this is how an alarm for ${state.name} reaches you.`,
      'In earnest it would say what was expected, what was heard last, and what to do; with the sheet from the second step on.',
      "Press I've got it, so that the party knows it arrived. By mail only: tell them, and they note it.",
      NOT_A_RESCUE,
    ],
  };
}

/** Said aloud: somebody who ought to know can't be told. */
export function unreachedMessage(
  state: TripState,
  person: string,
  next: string | undefined,
): Message {
  const who = person === FIELD ? 'The channel' : nameOf(state, person);
  return {
    subject: `${state.name}: ${who} can’t be reached`,
    lines: [
      `${who} could not be reached.`,
      next === undefined
        ? 'There is nobody further to tell. Reach them another way: by phone, or through a neighbour.'
        : `${nameOf(state, next)} is told instead.`,
      'Check the account and the address: /roster edit. Try it: /checkin drill.',
    ],
  };
}

/** After the channel was told that nobody watches: somebody does again. */
export function readableMessage(state: TripState, nowMs: number): Message {
  return {
    subject: `${state.name} is watched again`,
    lines: [
      "This trip's record can be read again, and its clock is watched.",
      ...nextLines(state, nowMs),
      'What was told on paper meanwhile is missing here: post it with the time it happened (at:14:32).',
    ],
  };
}
