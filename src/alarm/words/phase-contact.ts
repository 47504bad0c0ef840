import type { Message } from '../../say/message.ts';
import type { Line } from '../../say/reply.ts';
import { numbersToCall } from '../emergency.ts';
import { EARLY_MS, lastSign, unmet } from '../expectations.ts';
import { sharing } from '../ladder.ts';
import {
  ackButton,
  calledButton,
  calloutMs,
  fineButton,
  nextPhaseAt,
  sheetButton,
} from './common.ts';
import {
  awaited,
  elsewhereLines,
  lastHeardIn,
  namesIn,
  numberIn,
  partyIn,
  phonesIn,
  when,
  whoIn,
} from './home.ts';
import { type PhaseContext, rootOf } from './phase-context.ts';

/** What one contact is told when a phase is reached: what is missing, what was heard, what to do. */
export function toContact(c: PhaseContext): Message {
  const { w, state, raised } = c;
  if (raised.phase === 'distress') return distress(c);
  const root = rootOf(c);
  // Of a party in parts the others may well have been heard from.
  const whose =
    root.who === undefined
      ? partyIn(c)
      : { party: whoIn(w, state, root.who), count: root.who.length };
  const said = {
    party: whose.party,
    trip: state.name,
    what: awaited(c, { ...root, dueMs: raised.dueMs }),
  };
  const buttons = [ackButton(raised.seq, w), fineButton(raised.seq, w)];
  if (raised.phase === 'alert') {
    return {
      subject: w.text('alert.subject', { trip: state.name }),
      buttons: [...buttons, sheetButton(w)],
      lines: [
        w.say('alert.first', { ...said, count: whose.count }),
        lastHeardIn(c),
        ...alertSteps(c),
      ],
      now: alertTry(c),
    };
  }
  return {
    subject: w.text('uncertainty.subject', { trip: state.name }),
    buttons,
    now: uncertaintyTry(c),
    lines: [w.say('uncertainty.first', said), lastHeardIn(c), ...uncertaintySteps(c)],
  };
}

function uncertaintyTry({ w, state }: PhaseContext): Line {
  const phones = phonesIn(state, ['climber']);
  return phones === '' ? w.say('uncertainty.try') : w.say('uncertainty.tryPhones', { phones });
}

function uncertaintySteps(c: PhaseContext): Line[] {
  const { w, state, raised, to } = c;
  const ground = phonesIn(state, ['ground']);
  const next = nextPhaseAt(state, raised.phase, to);
  return [
    uncertaintyTry(c),
    ground === ''
      ? w.say('uncertainty.ground')
      : w.say('uncertainty.groundPhones', { phones: ground }),
    vehicleLine(c),
    ...(next === undefined ? [] : [w.say('uncertainty.next', { when: when(c, next.atMs) })]),
  ];
}

function vehicleLine({ w, state }: PhaseContext): Line {
  const { vehicle, parked } = state.watch.details;
  if (vehicle === undefined && parked === undefined) return w.say('vehicle.unknown');
  const known = [vehicle, parked].filter((t) => t !== undefined).join(', ');
  return w.say('vehicle.known', { vehicle: known });
}

function alertTry({ w, state }: PhaseContext): Line {
  const phones = phonesIn(state, ['climber', 'ground']);
  return phones === '' ? w.say('alert.try') : w.say('alert.tryPhones', { phones });
}

function alertSteps(c: PhaseContext): Line[] {
  const { w, state } = c;
  const callout = calloutMs(state);
  const others = othersTold(c);
  const number = numberIn(w, state);
  const steps: Line[] = [
    ...(others.length === 0 ? [] : [w.say('alert.others', { names: namesIn(w, others) })]),
    alertTry(c),
    vehicleLine(c),
    w.say('alert.sheet'),
  ];
  if (callout === undefined) {
    const silence = unmet(state).find((e) => e.kind === 'silence');
    return [
      ...steps,
      w.say('alert.noCallout', { number }),
      ...(silence === undefined ? [] : [w.say('alert.latest', { when: when(c, silence.dueMs) })]),
      w.say('rescue.note'),
    ];
  }
  return [
    ...steps,
    w.say('alert.callout', { when: when(c, callout), number }),
    w.say('rescue.note'),
  ];
}

function othersTold({ state, raised, to }: PhaseContext) {
  return sharing(state, raised).filter((p) => p.id !== to);
}

function distress(c: PhaseContext): Message {
  const { w, state, raised } = c;
  const sign = lastSign(state);
  const silent = raised.root === 'silence';
  const others = othersTold(c);
  const recent = !silent && sign !== undefined && sign.atMs > raised.dueMs - EARLY_MS;
  const [first] = numbersToCall(state.emergencyNumber);
  const number = numberIn(w, state);
  const said = { ...partyIn(c), trip: state.name, when: when(c, raised.dueMs) };
  return {
    subject:
      first === undefined
        ? w.text('distress.subjectNone', { trip: state.name })
        : w.text('distress.subject', { trip: state.name, number: first }),
    buttons: [
      ackButton(raised.seq, w),
      calledButton(raised.seq, w),
      fineButton(raised.seq, w),
      sheetButton(w),
    ],
    lines: [
      recent ? w.say('distress.firstRecent', { number }) : w.say('distress.first', { number }),
      silent ? w.say('distress.silent', said) : w.say('distress.callout', said),
      lastHeardIn(c),
      ...(others.length === 0 ? [] : [w.say('distress.others', { names: namesIn(w, others) })]),
      ...elsewhereLines(c),
      w.say('distress.sheet'),
      w.say('rescue.note'),
    ],
  };
}
