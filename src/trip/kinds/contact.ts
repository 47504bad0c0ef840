import { z } from 'zod';
import { LIMITS } from '../../limits.ts';
import { nameOf, type TripState } from '../state.ts';
import type { Consent } from '../watch-state.ts';
import { WAY_WORDS, wayName } from '../ways.ts';
import type { Kind } from './kind.ts';

const person = z.string().min(1).max(40);
/** One way to one contact: the address itself, so that another one has to be asked anew. */
const wayTo = {
  person,
  way: wayName,
  to: z.string().min(1).max(254),
};
const key = z.string().min(1).max(200);
/** A contact has turned on push messages in one of their browsers. */
export const contactDevice = z.strictObject({
  person,
  to: wayTo.to,
  endpoint: z.string().min(1).max(1000),
  p256dh: key,
  auth: key,
});
/** One way to a contact has ended: its other side says so, or they turned it off. */
export const contactLost = z.strictObject({ ...wayTo, why: z.string().min(1).max(60) });

/** A contact is asked by one way; `unsent` when nothing goes out, because too many were asked today. */
export const contactAsked = z.strictObject({ ...wayTo, unsent: z.literal(true).optional() });
/** What they said by that way. A no ends it at any time. */
export const contactAnswered = z.strictObject({ ...wayTo, answer: z.enum(['yes', 'no']) });
/** A contact of a party that is out wants to leave, and is asked back. */
export const contactLeaving = z.strictObject({ person });

/** Words that came in by mail and could not be read. */
export const mailReceived = z.strictObject({
  person,
  words: z.string().trim().min(1).max(LIMITS.noteLength),
});

/** Whether a contact wants to be one. Who was never asked is of a release that did not ask. */
export const contactKinds: {
  'contact.asked': Kind<z.infer<typeof contactAsked>>;
  'contact.answered': Kind<z.infer<typeof contactAnswered>>;
  'contact.leaving': Kind<z.infer<typeof contactLeaving>>;
  'contact.device': Kind<z.infer<typeof contactDevice>>;
  'contact.lost': Kind<z.infer<typeof contactLost>>;
  'mail.received': Kind<z.infer<typeof mailReceived>>;
} = {
  'contact.asked': {
    order: 'told',
    alive: false,
    strike: 'told',
    private: true,
    vital: false,
    data: contactAsked,
    fold(state, { seq, atMs, data: { unsent, ...way } }) {
      note(state, { ...way, said: unsent === true ? 'unsent' : 'asked', atMs, askedSeq: seq });
    },
    say: (data, state) => `${nameOf(state, data.person)} asked to be contact, ${by(data.way)}`,
  },
  'contact.answered': {
    order: 'told',
    alive: false,
    strike: 'told',
    private: true,
    vital: true,
    repeat: 'folds-when-full',
    data: contactAnswered,
    fold(state, { atMs, data: { answer, ...way } }) {
      const askedSeq = consentOf(state, way)?.askedSeq;
      note(state, { ...way, said: answer, atMs, ...(askedSeq === undefined ? {} : { askedSeq }) });
    },
    say: (data, state) =>
      `${nameOf(state, data.person)} ${data.answer === 'yes' ? 'is contact' : 'is no contact'}, ${by(data.way)}`,
  },
  'contact.leaving': {
    order: 'told',
    alive: false,
    strike: 'told',
    private: false,
    vital: true,
    repeat: 'folds',
    data: contactLeaving,
    // It changes nothing: they are told of alarms until they have said so twice.
    say: (data, state) => `${nameOf(state, data.person)} wants to be contact no more; asked back`,
  },
  'contact.device': {
    order: 'told',
    alive: false,
    strike: 'told',
    private: true,
    vital: true,
    data: contactDevice,
    fold(state, { data }) {
      const others = state.watch.devices.filter((d) => d.person !== data.person);
      const theirs = state.watch.devices.filter(
        (d) => d.person === data.person && d.to !== data.to,
      );
      // One whose address was erased can't be sent to.
      const live = data.endpoint.startsWith('https://') || data.endpoint.startsWith('http://');
      const kept = live ? [...theirs, data] : theirs;
      state.watch.devices = [...others, ...kept.slice(-DEVICES_MAX)];
    },
    say: (data, state) => `${nameOf(state, data.person)} turned push messages on`,
  },
  'contact.lost': {
    order: 'told',
    alive: false,
    strike: 'told',
    private: true,
    vital: true,
    data: contactLost,
    fold(state, { data }) {
      if (data.way !== 'push') return;
      state.watch.devices = state.watch.devices.filter(
        (d) => d.person !== data.person || d.to !== data.to,
      );
    },
    say: (data, state) =>
      `${nameOf(state, data.person)} is not reached by ${WAY_WORDS[data.way]}: ${data.why}`,
  },
  'mail.received': {
    order: 'told',
    alive: false,
    strike: 'told',
    private: false,
    vital: false,
    data: mailReceived,
    // Nobody can say what it means: it is there to be read.
    say: (data, state) =>
      `mail from ${nameOf(state, data.person)}, not understood: “${data.words}”`,
  },
};

const by = (way: Consent['way']) => `by ${WAY_WORDS[way]}`;

/** Browsers of one contact that are told; the oldest goes. */
const DEVICES_MAX = 5;

/** What somebody said by one way; undefined when they were never asked there. */
export function consentOf(
  state: TripState,
  { person: who, way, to }: Pick<Consent, 'person' | 'way' | 'to'>,
): Consent | undefined {
  return state.watch.consents.find((c) => c.person === who && c.way === way && c.to === to);
}

function note(state: TripState, consent: Consent): void {
  const at = state.watch.consents.findIndex(
    (c) => c.person === consent.person && c.way === consent.way && c.to === consent.to,
  );
  if (at < 0) state.watch.consents.push(consent);
  else state.watch.consents[at] = consent;
}
