import type { Message } from '../../say/message.ts';
import type { Line, Piece } from '../../say/reply.ts';
import { nameOf, type TripState } from '../../trip/state.ts';
import type { Raised } from '../../trip/watch-state.ts';
import { numbersToCall } from '../emergency.ts';
import { EARLY_MS, type Expectation, isAbout, lastSign, unmet } from '../expectations.ts';
import { concerned, handOf } from '../repeats.ts';
import { accountOf, contacts, FIELD, field, names, partyNames, verb } from '../who.ts';
import {
  ackButton,
  at,
  calledButton,
  calloutMs,
  emergency,
  expected,
  fineButton,
  fromElsewhere,
  lastHeard,
  NOT_A_RESCUE,
  nextPhaseAt,
  phones,
  SHEET,
} from './common.ts';
import { nextTold } from './next-told.ts';
import { STEP } from './step.ts';
import { troubleMessage } from './trouble.ts';

/** What the words of a phase depend on. */
export interface PhaseContext {
  state: TripState;
  raised: Raised;
  /** `field`, or the id of the person who reads this. */
  to: string;
  nowMs: number;
  /** The nth repeat. */
  repeat?: number | undefined;
  /** The entry by which they had it in hand, which has lapsed. */
  lapsed?: number | undefined;
  /** It had ended, and what ended it was taken back. */
  reopened?: boolean | undefined;
  /** This person is told instead of another who can't be reached. */
  instead?: string | undefined;
}

/** What is said when a phase is reached, to the channel or to one contact. Without the sheet file. */
export function phaseMessage(c: PhaseContext): Message {
  // Without a channel the party and the ground crew get one by one what it would have said.
  const trouble = unmet(c.state).find((e) => isAbout(c.raised, e))?.trouble;
  const to = c.instead === FIELD ? FIELD : c.to;
  const body =
    trouble !== undefined
      ? troubleMessage({ ...c, to, trouble })
      : to === FIELD
        ? toField(c)
        : toContact(c);
  return { ...body, lines: [...before(c), ...body.lines, ...outage(c)] };
}

function before(c: PhaseContext): Line[] {
  const { state, reopened, instead, repeat } = c;
  return [
    ...(reopened === true ? ['What ended the alarm was taken back: it stands again.'] : []),
    ...(instead === undefined
      ? []
      : [
          `${instead === FIELD ? 'The channel' : nameOf(state, instead)} could not be reached, so you are told.`,
        ]),
    ...(repeat === undefined ? [] : [`Again: ${standsWords(c)}.`, ...inHand(c)]),
    ...lapsedLines(c),
  ];
}

/** Why it still stands: of trouble something was heard, and that is why. */
function standsWords({ state, raised }: PhaseContext): string {
  const trouble = unmet(state).find((e) => isAbout(raised, e))?.trouble;
  return trouble === undefined ? 'nothing was heard' : 'nobody has said that it is over';
}

/** Whoever took it in hand and how long ago, for the others. */
function inHand({ state, raised, to, nowMs }: PhaseContext): Line[] {
  return concerned(state, raised).flatMap((group): Line[] => {
    const hand = group === to ? undefined : handOf(state, group, raised);
    if (hand === undefined) return [];
    const who = group === FIELD ? 'Somebody in the channel' : nameOf(state, group);
    return [[`${who} took it in hand at `, at(state, hand.atMs, nowMs), '.']];
  });
}

/** Taken in hand, and nothing was heard since: what has come of it is asked. */
function lapsedLines(c: PhaseContext): Line[] {
  const { state, raised, lapsed, nowMs } = c;
  const hand = state.watch.acks.find((a) => a.seq === lapsed);
  if (hand === undefined) return [];
  return [
    ['It was taken in hand here at ', at(state, hand.atMs, nowMs), `; ${standsWords(c)} since.`],
    raised.phase === 'distress'
      ? 'Has the rescue service been called? If not, call now. Say so either way.'
      : 'Do you still have it? Say so again, or say what you have heard.',
  ];
}

function outage({ state, raised, nowMs }: PhaseContext): Line[] {
  if (raised.outage === undefined) return [];
  const { fromMs, toMs } = raised.outage;
  return [
    [
      'This comes late: tagline was not watching from ',
      at(state, fromMs, nowMs),
      ' to ',
      at(state, toMs, nowMs),
      '.',
    ],
  ];
}

function rootOf({ state, raised }: PhaseContext): Pick<Expectation, 'kind' | 'about' | 'of'> {
  return unmet(state).find((e) => isAbout(raised, e)) ?? { kind: 'again' };
}

function missed(c: PhaseContext): Piece[] {
  return [expected(rootOf(c)), at(c.state, c.raised.dueMs, c.nowMs)];
}

function toField(c: PhaseContext): Message {
  const { state, raised, nowMs } = c;
  const subject = `${state.name}: ${STEP[raised.phase]}`;
  const people = field(state);
  const pings = people.flatMap((p) => accountOf(state, p) ?? []);
  const who = people.flatMap((p, i): Piece[] => {
    const account = accountOf(state, p);
    return [
      ...(i === 0 ? [] : [', ']),
      account === undefined ? p.name : { text: p.name, userId: account },
    ];
  });
  if (raised.phase === 'due') {
    return {
      subject,
      pings,
      buttons: [fineButton(raised.seq)],
      lines: [
        ['Expected: ', ...missed(c), '. Nothing was heard.'],
        lastHeard(state, nowMs),
        [...who, ': are you well? Ground crew: what did you hear last?'],
        ...nextTold(c),
      ],
    };
  }
  const distress = raised.phase === 'distress';
  return {
    subject,
    pings,
    buttons: [
      ackButton(raised.seq),
      fineButton(raised.seq),
      ...(distress ? [calledButton(raised.seq)] : []),
    ],
    lines: [
      distress ? distressRoot(c) : ['Still nothing heard. Expected: ', ...missed(c), '.'],
      lastHeard(state, nowMs),
      toldContacts(c),
      distress
        ? `Who stands at the wall: call ${emergency(state)} if nobody has, and say so here.`
        : [...who, ': try the radio and other parties; say here what you hear.'],
      ...(distress ? [NOT_A_RESCUE] : nextTold(c)),
    ],
  };
}

function distressRoot({ state, raised, nowMs }: PhaseContext): Line {
  return raised.root === 'silence'
    ? ['Nothing was heard by ', at(state, raised.dueMs, nowMs), ', and no call-out time stands.']
    : ['The call-out time has come: ', at(state, raised.dueMs, nowMs), '.'];
}

function toldContacts({ state, raised }: PhaseContext): string {
  const told = contacts(state).filter((p) => raised.to.includes(p.id));
  return told.length === 0
    ? 'No contact at home could be told. Whoever reads this is the only one who knows.'
    : `Being told: ${names(told)}.`;
}

function toContact(c: PhaseContext): Message {
  const { state, raised } = c;
  if (raised.phase === 'distress') return distress(c, partyNames(state));
  // Of a party in parts the others may well have been heard from.
  const { of } = rootOf(c);
  const party = of ?? partyNames(state);
  const is = of === undefined ? verb(state, 'is', 'are') : / and |, /u.test(of) ? 'are' : 'is';
  const alert = raised.phase === 'alert';
  return {
    subject: alert ? `${state.name}: overdue, please act` : `${state.name}: no word yet`,
    buttons: [ackButton(raised.seq), fineButton(raised.seq), ...(alert ? [SHEET] : [])],
    lines: [
      alert
        ? [`${party} ${is} overdue on ${state.name}. Expected: `, ...missed(c), '.']
        : [
            `No word yet from ${party} on ${state.name}. Expected: `,
            ...missed(c),
            '. Most often it is a slow pitch or a flat phone.',
          ],
      lastHeard(state, c.nowMs),
      ...(alert ? alertSteps(c) : uncertaintySteps(c)),
    ],
  };
}

function uncertaintySteps({ state, raised, to, nowMs }: PhaseContext): Line[] {
  const party = phones(state, ['climber']);
  const ground = phones(state, ['ground']);
  const next = nextPhaseAt(state, raised.phase, to);
  return [
    `Please try them${party === '' ? '' : `: ${party}`}.`,
    `Ask ${ground === '' ? 'the ground crew' : `the ground crew: ${ground}`}, and other parties there.`,
    vehicleLine(state),
    ...(next === undefined
      ? []
      : [['If nothing is heard, you are told more at ', at(state, next.atMs, nowMs), '.'] as Line]),
  ];
}

function vehicleLine(state: TripState): string {
  const { vehicle, parked } = state.watch.details;
  if (vehicle === undefined && parked === undefined) {
    return 'If somebody is near: does their vehicle still stand there?';
  }
  return `If somebody is near: does the vehicle still stand there? ${[vehicle, parked].filter((t) => t !== undefined).join(', ')}.`;
}

function alertSteps({ state, raised, to, nowMs }: PhaseContext): Line[] {
  const callout = calloutMs(state);
  const others = contacts(state).filter((p) => raised.to.includes(p.id) && p.id !== to);
  const steps: Line[] = [
    ...(others.length === 0 ? [] : [`Told as well: ${names(others)}. Agree who does what.`]),
    `Try everyone once more${phoneList(state)}. ${vehicleLine(state)}`,
    'Keep the sheet at hand: it has what a rescue service asks.',
  ];
  if (callout === undefined) {
    const silence = unmet(state).find((e) => e.kind === 'silence');
    return [
      ...steps,
      `No call-out time is agreed. If you reach nobody, call ${emergency(state)} and read them the sheet.`,
      ...(silence === undefined
        ? []
        : [['Call at ', at(state, silence.dueMs, nowMs), ' at the latest.'] as Line]),
      NOT_A_RESCUE,
    ];
  }
  return [
    ...steps,
    [
      'If you hear nothing by the call-out time ',
      at(state, callout, nowMs),
      `, call ${emergency(state)}. Call sooner if you have reason to fear for them.`,
    ],
    NOT_A_RESCUE,
  ];
}

function phoneList(state: TripState): string {
  const all = phones(state, ['climber', 'ground']);
  return all === '' ? '' : `: ${all}`;
}

function distress(c: PhaseContext, party: string): Message {
  const { state, raised, nowMs } = c;
  const sign = lastSign(state);
  const silent = raised.root === 'silence';
  const others = contacts(state).filter((p) => raised.to.includes(p.id) && p.id !== c.to);
  const recent = !silent && sign !== undefined && sign.atMs > raised.dueMs - EARLY_MS;
  return {
    subject: `${state.name}: call ${numbersToCall(state.emergencyNumber)[0] ?? 'the emergency number'} now`,
    buttons: [ackButton(raised.seq), calledButton(raised.seq), fineButton(raised.seq), SHEET],
    lines: [
      recent
        ? `The call-out time has come. Try them once more; if you reach nobody, call ${emergency(state)} now.`
        : `Call ${emergency(state)} now.`,
      [
        `${party} ${verb(state, 'is', 'are')} not down from ${state.name}. `,
        silent ? 'No call-out time stands, and nothing was heard by ' : 'Call-out time was ',
        at(state, raised.dueMs, nowMs),
        '.',
      ],
      lastHeard(state, nowMs),
      ...(others.length === 0 ? [] : [`Told as well: ${names(others)}. Agree who makes the call.`]),
      ...fromElsewhere(state),
      'Read them the sheet. Then say that the call was made, so that the others know.',
      NOT_A_RESCUE,
    ],
  };
}
