import { capital } from '../../say/capital.ts';
import type { Words } from '../../say/contact/words.ts';
import type { Message } from '../../say/message.ts';
import type { Line } from '../../say/reply.ts';
import { openTroubles } from '../../trip/conditions.ts';
import { openRetreat } from '../../trip/kinds/retreat.ts';
import { isSplit, partsOf } from '../../trip/parts.ts';
import { nameOf, type TripState } from '../../trip/state.ts';
import { unmet } from '../expectations.ts';
import { standDownOf } from '../stand-down.ts';
import { FIELD } from '../who.ts';
import { at, expected, lastHeard } from './common.ts';
import { heardIn } from './heard.ts';
import {
  byWords,
  type Home,
  lastHeardIn,
  nextOpen,
  numberIn,
  partyIn,
  when,
  whoIn,
} from './home.ts';
import { heardWords } from './mode.ts';
import { promiseLines } from './plan.ts';
import { standDownButtons, standDownLines } from './stand-down.ts';

/** `heard`, `over` and `down` answer the alarm; the others only change what is watched. */
export type EndedWhy = 'heard' | 'over' | 'down' | 'moved' | 'closed' | 'struck';

/** How an alarm ended, as a notice has it. */
export interface Ended {
  seq: number;
  why: EndedWhy;
  by: string;
  /** Who asked for it, where `by` agreed. */
  asker?: string | undefined;
  still?: boolean | undefined;
}

/**
 * To everyone who was alarmed: it is over, and why; or what was changed, and that nobody has been
 * heard from.
 */
export function endedMessage(h: Home, to: string, ended: Ended): Message {
  const { w, state, nowMs } = h;
  const { why, still = false } = ended;
  const answered = !still && (why === 'heard' || why === 'over' || why === 'down');
  return {
    subject: w.text(answered ? 'ended.subject' : 'ended.subjectChanged', { trip: state.name }),
    buttons: answered ? standDownButtons(state, w) : [],
    now: answered
      ? standDownLines(state, nowMs, w)[0]
      : w.say(still ? 'ended.still' : 'ended.nobody'),
    lines: [
      endedBy(h, to, ended),
      ...(answered
        ? [w.say('ended.over'), ...standDownLines(state, nowMs, w)]
        : [
            w.say(still ? 'ended.still' : 'ended.nobody'),
            to === FIELD ? lastHeard(state, nowMs) : lastHeardIn(h),
          ]),
      ...(to === FIELD ? nextLines(state, nowMs) : nextOpen(h)),
    ],
  };
}

function endedBy(h: Home, to: string, { seq, why, by: said, asker }: Ended): Line {
  const { w, state, nowMs } = h;
  const by = byWords(w, said, asker);
  const whose = partyIn(h);
  switch (why) {
    case 'heard': {
      const sign = state.watch.signs.at(-1);
      if (sign === undefined) return w.say('ended.heard', whose);
      const what = to === FIELD ? heardWords(state, sign, nowMs) : heardIn(h, sign);
      // Of a party in parts one may have been heard long before.
      const { who } = sign;
      const heard = who === undefined ? whose : { party: whoIn(w, state, who), count: who.length };
      return w.say('ended.heardAs', { ...heard, when: when(h, sign.atMs), what, by: sign.by.name });
    }
    case 'down':
      return state.downAtMs === undefined
        ? w.say('ended.down', { by })
        : w.say('ended.downAt', { when: when(h, state.downAtMs), by });
    case 'over':
      return overLine(w, state, seq, by);
    case 'moved':
      return w.say('ended.moved', { ...whose, by });
    case 'closed':
      return w.say('ended.closed', { by });
    case 'struck':
      return w.say('ended.struck', { ...whose, by });
  }
}

/** The newest end up to this entry: another may have ended since. */
function overLine(w: Words, state: TripState, seq: number, by: string): Line {
  const [ended] = state.troubles
    .filter((t) => t.over !== undefined && t.over.seq <= seq)
    .sort((a, b) => (b.over?.seq ?? 0) - (a.over?.seq ?? 0));
  if (ended?.over === undefined) return w.say('ended.trouble', { by });
  const { left, said } = ended.over;
  return w.say('ended.troubleOf', { who: capital(whoIn(w, state, ended.who)), left, said, by });
}

/** What the watch waits for next. */
export function nextLines(state: TripState, nowMs: number): Line[] {
  const [next] = unmet(state);
  if (next === undefined) return [];
  const late = next.dueMs <= nowMs;
  return [[late ? 'Still open: ' : 'Next: ', expected(next), at(state, next.dueMs, nowMs), '.']];
}

/** Somebody has called the rescue service. */
export function calledMessage(h: Home, seq: number): Message {
  const { w, state } = h;
  const called = state.watch.called.find((c) => c.seq === seq);
  const said = called && { by: called.by.name, when: when(h, called.atMs) };
  return {
    subject: w.text('called.subject', { trip: state.name }),
    now: w.say('called.then'),
    lines: [
      ...(said === undefined
        ? []
        : [
            called?.words === undefined
              ? w.say('called.first', said)
              : w.say('called.words', { ...said, words: called.words }),
          ]),
      w.say('called.then'),
    ],
  };
}

/** The party left, or a time moved: what a contact has to know, to be sent with the calendar file. */
export function planMessage(h: Home, changes: readonly Line[]): Message {
  const { w, state } = h;
  const { plan, nightly } = state.watch;
  const callout =
    plan.calloutMs === undefined
      ? w.say('plan.noCallout')
      : w.say('plan.callout', { when: when(h, plan.calloutMs), number: numberIn(w, state) });
  return {
    subject: w.text('plan.subject', { trip: state.name }),
    now: callout,
    lines: [
      ...comingDown(h),
      ...changes,
      ...(isSplit(state)
        ? [
            w.say('plan.parts', {
              parts: partsOf(state)
                .map((p) => whoIn(w, state, p.who))
                .join(' · '),
            }),
          ]
        : []),
      ...promiseLines(state, h.nowMs, w),
      plan.downMs === undefined
        ? w.say('plan.noDown')
        : w.say('plan.down', { when: when(h, plan.downMs) }),
      ...(nightly === undefined ? [] : [w.say('plan.nightly', { clock: nightly.clock })]),
      callout,
      w.say('plan.file'),
      w.say('rescue.note'),
    ],
  };
}

/** A retreat of all, that is no trouble: the new times are no bad news. */
function comingDown(h: Home): Line[] {
  const { w, state } = h;
  const retreat = openRetreat(state);
  if (retreat === undefined || openTroubles(state).length > 0) return [];
  return [w.say('plan.comingDown', { ...partyIn(h), when: when(h, retreat.sinceMs) })];
}

/** Nothing is to be waited for any more; sent with a file that clears the calendar. */
export function overMessage(h: Home): Message {
  const { w, state } = h;
  const trip = state.name;
  if (state.downAtMs !== undefined) {
    const called = standDownOf(state) !== undefined;
    return {
      subject: w.text('over.subject', { trip }),
      ...(called
        ? { buttons: standDownButtons(state, w), now: standDownLines(state, h.nowMs, w)[0] }
        : {}),
      lines: [
        w.say(called ? 'over.downCalled' : 'over.down', {
          ...partyIn(h),
          when: when(h, state.downAtMs),
        }),
        ...(called ? standDownLines(state, h.nowMs, w) : []),
        w.say('removed.file'),
      ],
    };
  }
  return {
    subject: w.text('over.stopped', { trip }),
    lines: [
      w.say(state.closedAtMs === undefined ? 'over.notLeft' : 'over.closed'),
      w.say('over.unwatched'),
    ],
  };
}

/** A rehearsal: the same buttons, plainly marked. */
export function drillMessage({ w, state }: Home, to: string): Message {
  const button = w.text('button.ack');
  return {
    subject: w.text('drill.subject', { trip: state.name }),
    buttons: [
      { label: button, tone: 'main', press: { path: 'overdue ack', options: { drill: true } } },
    ],
    lines: [
      w.say('drill.first', { name: nameOf(state, to), trip: state.name }),
      w.say('drill.earnest'),
      w.say('drill.press', { button }),
      w.say('rescue.note'),
    ],
  };
}

/** Said aloud: somebody who ought to know can't be told. */
export function unreachedMessage(
  { w, state }: Home,
  to: string,
  person: string,
  next: string | undefined,
): Message {
  const who = person === FIELD ? capital(w.text('who.channel')) : nameOf(state, person);
  return {
    subject: w.text('unreached.subject', { trip: state.name, who }),
    lines: [
      w.say('unreached.first', { who }),
      next === undefined
        ? w.say('unreached.nobody')
        : w.say('unreached.instead', { name: nameOf(state, next) }),
      ...(to === FIELD
        ? ['Check the account and the address: /roster edit. Try it: /checkin drill.']
        : []),
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
