import type { Logger } from 'pino';
import type { WayTo } from '../alarm/consent.ts';
import type { Projected } from '../alarm/late.ts';
import type { Records } from '../record/records.ts';
import type { Language } from '../say/contact/languages.ts';
import type { Message } from '../say/message.ts';
import type { Store } from '../store/port.ts';
import type { Clock } from '../time/clock.ts';
import type { TripState } from '../trip/state.ts';
import type { AlarmPhase, Device } from '../trip/watch-state.ts';
import type { Witness } from './clocks.ts';

/** How an invitation is answered. */
export interface Asked {
  /** A page; left out where there is none. */
  url?: string;
  /** To be passed on to the party where there is no page. */
  code: string;
}

/** One message to one place or person, with what makes a second attempt harmless. */
export interface Envelope {
  message: Message & { calendar?: { method: 'PUBLISH' | 'CANCEL'; text: string } };
  /** The trip its buttons act on. */
  trip: string;
  /** The same for every attempt at the same notice; at most 25 characters. */
  nonce: string;
  nowMs: number;
  /** What its reader reads; English where it is left out. */
  language?: Language;
  /** To somebody who has not agreed to be contact yet: where they answer, and the code that proves it. */
  asked?: Asked;
  /** To a contact by mail: where they leave by one press (RFC 8058). */
  leave?: string;
  /** To a contact by mail: where an answer of theirs is read. */
  replyTo?: string;
  /** As the notice has it: 0 is distress, 1 an alert. */
  urgency?: number;
  /** The same in the few words that a lock screen or a text message has room for. */
  short?: Short;
}

/** A message for a phone: two short texts, and the page that has the rest. */
export interface Short {
  title: string;
  text: string;
  /** The language of all of it, as BCP 47 has it. */
  language: string;
  /** What the page behind the link is for, as words before it: `Answer here:`. */
  lead: string;
  /** Left out where there is no page. */
  url?: string;
  /** How grave the alarm is that it is about; left out for what is no alarm. */
  step?: AlarmPhase;
  /** It rehearses an alarm. */
  rehearsal?: true;
}

/** What came of one attempt. `why` is a short word for the log and the metric, without addresses. */
export type Sent =
  | { ok: true; receipt: string }
  | {
      ok: false;
      retry: 'later';
      why: string;
      afterMs?: number;
      /** It may still arrive: what comes of it. */
      inTheEnd?: Promise<Sent>;
    }
  | { ok: false; retry: 'never'; why: string };

/**
 * The ways out. Each may be missing, when it isn't set up, and none may throw for what a network or
 * another server does; a fault of ours is caught and tried again.
 */
export interface Ways {
  channel?(channel: string, envelope: Envelope): Promise<Sent>;
  dm?(to: { account: string; name: string }, envelope: Envelope): Promise<Sent>;
  email?(to: { address: string; name: string }, envelope: Envelope): Promise<Sent>;
  /** To one browser. `why` is `gone` once its push service knows it no more. */
  push?(to: { device: Device; name: string }, envelope: Envelope): Promise<Sent>;
  /** To one topic of an ntfy server: `https://ntfy.example.org/dana-k3f9`. */
  ntfy?(to: { address: string; name: string }, envelope: Envelope): Promise<Sent>;
  /** To one number in its international form, by whatever the operator has behind it. */
  phone?(to: { number: string; name: string }, envelope: Envelope): Promise<Sent>;
}

/** Counted as it happens; see metrics.ts. */
export interface Counters {
  fired(phase: string): void;
  attempt(way: string, result: 'sent' | 'later' | 'never', why: string): void;
  ended(status: 'sent' | 'failed' | 'cancelled' | 'expired', why: string, lateMs: number): void;
  fault(where: 'fire' | 'send' | 'loop'): void;
}

export const NO_COUNTERS: Counters = {
  fired() {},
  attempt() {},
  ended() {},
  fault() {},
};

/** Everything the watch works with. */
export interface WatchParts {
  store: Store;
  clock: Clock;
  log: Pick<Logger, 'info' | 'warn' | 'error'>;
  ways: Ways;
  /** The one way into a trip's record. */
  records: Records;
  /** The forecast of top-out and of everyone down; undefined where there is none. */
  project?(state: TripState, nowMs: number): Promise<Projected | undefined>;
  /** A line a way from where they are, with its odds, for a party short of its planned ledge at the stop time. */
  waysLate?(state: TripState, nowMs: number): Promise<string[]>;
  /** A contact's own page; undefined where there are no pages. */
  ownPage?: ((trip: string, person: string) => Promise<string>) | undefined;
  /** Where somebody says whether they want to be contact. */
  asked?(trip: string, way: WayTo): Asked;
  /** The address at which a contact's answers are read; undefined where none are. */
  answersAt?: ((trip: string, use: { person: string; to: string }) => Promise<string>) | undefined;
  /** Mail address of whoever runs this, for calendar files. */
  organizer: string;
  /** Names this process among those on the same database: `host/pid/start`. */
  owner: string;
  counters: Counters;
  /** Since when posts don't reach us, epoch milliseconds; undefined while they do. */
  deafSinceMs?: (() => number | undefined) | undefined;
  /** Other machines' time, the one that is believed first. */
  witnesses?: readonly Witness[] | undefined;
}
