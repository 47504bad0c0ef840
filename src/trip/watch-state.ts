import type { Fact } from './fact.ts';
import type { SheetDetails } from './kinds/watch-sheet.ts';
import type { Way } from './ways.ts';

/**
 * Stands for the party and the ground crew together, who are told in the trip's channel. It is used
 * where ids of people are. No person's id begins with @.
 */
export const FIELD = '@field';

/** Something told that shows the party was well at `atMs`: a mark on a pitch, a word by radio. */
export interface Sign {
  atMs: number;
  recordedAtMs: number;
  seq: number;
  by: { id: string; name: string };
  /** The post, as it reads after amendments. */
  fact: Fact;
  /** Ids of those it speaks of; left out, the whole party. */
  who?: readonly string[];
}

/** A sign of life promised for a time. */
export interface CheckinPromise {
  /** Id of the event that made it. */
  id: string;
  seq: number;
  dueMs: number;
  about?: string;
  /** Ids of those who promised it, of a party in parts; left out, everybody. */
  who?: readonly string[];
  by: { id: string; name: string };
}

/** Times agreed with whoever waits at home, epoch milliseconds. */
export interface WatchPlan {
  topoutMs?: number;
  downMs?: number;
  /** When the contact calls the emergency number if nobody is down and nothing was heard. */
  calloutMs?: number;
}

/** The name of an agreed time. */
export type PlanTime = keyof WatchPlan;

/** Phases in the shape of ICAO Annex 12, with the asking that goes before them. */
export type AlarmPhase = 'due' | 'uncertainty' | 'alert' | 'distress';

/** A phase that was reached and told. */
export interface Raised {
  seq: number;
  atMs: number;
  phase: AlarmPhase;
  /** The key of the expectation that is overdue. */
  root: string;
  /** The time of that expectation, epoch milliseconds. */
  dueMs: number;
  /** Who was told: FIELD for party and ground crew in the channel, else ids of people. */
  to: readonly string[];
  /** Set when it was told late because nobody was running the watch. */
  outage?: { fromMs: number; toMs: number };
}

/** How long after a missed promise each phase comes, and how long one is left alone with it. */
export interface Delays {
  /** Minutes after the time promised. */
  uncertaintyMin: number;
  alertMin: number;
  /** Minutes for which whoever took an alarm in hand is not reminded of it. */
  handMin: number;
}

/** Somebody could not be reached by any way. */
export interface Unreached {
  seq: number;
  atMs: number;
  person: string;
  /** The phase it was about; undefined for a drill or a file. */
  raised?: number;
  /** Who was told instead. */
  next?: string;
  why: string;
}

/** A CAP message that was issued with an opening of the sheet. */
export interface CapIssue {
  status: 'Actual' | 'Test';
  msgType: 'Alert' | 'Update' | 'Cancel';
  /** The entry up to which it told what had happened, openings of the sheet aside. */
  newest: number;
}

/** What a contact has said by one way, as last told. Times are epoch milliseconds. */
export interface Consent {
  person: string;
  way: Way;
  /** The account, the address, the number or the device. */
  to: string;
  /** `unsent`: nobody asked them yet. */
  said: 'unsent' | 'asked' | 'yes' | 'no';
  atMs: number;
  /** The entry that asked. */
  askedSeq?: number;
}

/** A browser that takes push messages for a contact (RFC 8030), and the keys that only it can read by (RFC 8291). */
export interface Device {
  person: string;
  /** A short name of ours. */
  to: string;
  endpoint: string;
  /** Its public key on P-256 and its secret for authentication, base64url. */
  p256dh: string;
  auth: string;
}

/** A drill for one contact, and when it was acknowledged. Times are epoch milliseconds. */
export interface Drill {
  seq: number;
  atMs: number;
  to: string;
  ackedAtMs?: number;
}

/** A fact to be that waits for somebody to agree; its kind and data are checked when it is recorded. */
export interface AskedDraft {
  kind: string;
  data?: unknown;
  atMs?: number | undefined;
  typed?: string | undefined;
}

/** Everything told about the watch. */
export interface WatchState {
  promises: CheckinPromise[];
  /** A sign of life every evening at this clock time. */
  nightly?: { clock: string; sinceMs: number; seq: number };
  plan: WatchPlan;
  /** When and by whom each time of the plan was last set. */
  planSet: Partial<Record<PlanTime, { atMs: number; seq: number; by: string }>>;
  /** Every plan time replaced since, oldest first: the sheet tells of changes. */
  moved: { what: PlanTime; fromMs: number; toMs?: number; atMs: number; seq: number; by: string }[];
  delays: Delays;
  delaysOf: Map<string, Partial<Delays>>;
  /** By time of happening. */
  signs: Sign[];
  raised: Raised[];
  acks: { seq: number; atMs: number; person: string }[];
  called: { seq: number; atMs: number; by: { id: string; name: string }; words?: string }[];
  /** Changes asked for that would weaken the watch, as they would be recorded. */
  asked: {
    seq: number;
    atMs: number;
    by: { id: string; name: string };
    drafts: readonly AskedDraft[];
    words: readonly string[];
    /** The newest entry that set a time then, and the alarm that stood. */
    plan: number;
    alarm?: number;
  }[];
  /** Who agreed to which of them. */
  agreed: { seq: number; atMs: number; by: { id: string; name: string }; asked: number }[];
  /** Call-outs of which the rescue service was told that they are needed no more. */
  stoodDown: { seq: number; atMs: number; by: { id: string; name: string }; call: number }[];
  drills: Drill[];
  /** One for each way by which somebody was asked. */
  consents: Consent[];
  /** Those that live, the newest last. */
  devices: Device[];
  unreached: Unreached[];
  opened: { seq: number; atMs: number; by: string; as: string; cap?: CapIssue }[];
  details: SheetDetails;
}

/**
 * 30 minutes as in ICAO Annex 12 (uncertainty) and 2 hours as land route cards have it before the
 * rescue service is called. Three quarters of an hour to act is an engineering choice.
 */
export const DEFAULT_DELAYS: Delays = { uncertaintyMin: 30, alertMin: 120, handMin: 45 };

/** The watch before anything was told. */
export function blankWatch(): WatchState {
  return {
    promises: [],
    plan: {},
    planSet: {},
    moved: [],
    delays: { ...DEFAULT_DELAYS },
    delaysOf: new Map(),
    signs: [],
    raised: [],
    acks: [],
    called: [],
    asked: [],
    agreed: [],
    stoodDown: [],
    drills: [],
    consents: [],
    devices: [],
    unreached: [],
    opened: [],
    details: {},
  };
}
