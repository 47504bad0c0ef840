import type { Message } from '../../say/message.ts';
import type { Line, Piece } from '../../say/reply.ts';
import { isAbout, unmet } from '../expectations.ts';
import { sharing } from '../ladder.ts';
import { accountOf, FIELD, field, names } from '../who.ts';
import {
  ackButton,
  at,
  calledButton,
  emergency,
  expected,
  fineButton,
  lastHeard,
  notARescue,
} from './common.ts';
import { nextTold } from './next-told.ts';
import { toContact } from './phase-contact.ts';
import { before, lapsedLines, outage, type PhaseContext, rootOf } from './phase-context.ts';
import { STEP } from './step.ts';
import { troubleMessage } from './trouble.ts';

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
  const lapsed = lapsedLines(c);
  // To a contact at distress what to do stands first, and whether it was done where they said that they would.
  if (to !== FIELD && c.raised.phase === 'distress') {
    const [call, ...rest] = body.lines;
    const first = lapsed[0] ?? call ?? '';
    return {
      ...body,
      now: first,
      lines: [first, ...before(c), ...lapsed.slice(1), ...rest, ...outage(c)],
    };
  }
  return {
    ...body,
    ...(lapsed[0] === undefined ? {} : { now: lapsed[0] }),
    lines: [...before(c), ...lapsed.toReversed(), ...body.lines, ...outage(c)],
  };
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
      ...(distress ? [notARescue()] : nextTold(c)),
    ],
  };
}

function distressRoot({ state, raised, nowMs }: PhaseContext): Line {
  return raised.root === 'silence'
    ? ['Nothing was heard by ', at(state, raised.dueMs, nowMs), ', and no call-out time stands.']
    : ['The call-out time has come: ', at(state, raised.dueMs, nowMs), '.'];
}

function toldContacts({ state, raised }: PhaseContext): string {
  const told = sharing(state, raised);
  return told.length === 0
    ? 'No contact at home could be told. Whoever reads this is the only one who knows.'
    : `Being told: ${names(told)}.`;
}
