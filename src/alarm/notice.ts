import { z } from 'zod';
import type { NewNotice } from '../store/port.ts';
import type { AlarmPhase } from '../trip/watch-state.ts';
import { wayName } from '../trip/ways.ts';

const seq = z.int().min(1);

const proposal = z.strictObject({
  what: z.enum(['topout', 'down', 'callout']),
  agreedMs: z.int(),
  proposeMs: z.int(),
});

/** What a notice is about. Its words are made when it is sent, from the record as it is then. */
const what = z.discriminatedUnion('kind', [
  z.strictObject({
    kind: z.literal('phase'),
    raised: seq,
    repeat: z.int().min(1).optional(),
    /** They had it in hand by this entry, and that has lapsed. */
    lapsed: seq.optional(),
    reopened: z.boolean().optional(),
    instead: z.string().optional(),
  }),
  z.strictObject({
    kind: z.literal('ended'),
    seq,
    /** Newest phase this group had been told of. */
    raised: seq,
    why: z.enum(['heard', 'over', 'down', 'moved', 'closed', 'struck']),
    by: z.string(),
    /** Who asked for it, where `by` agreed to it. */
    asker: z.string().optional(),
    /** Only the highest step is gone: the alarm stands at a lower one. */
    still: z.boolean().optional(),
  }),
  z.strictObject({ kind: z.literal('called'), seq }),
  /** A phase was told too early, by a clock that was wrong. */
  z.strictObject({ kind: z.literal('early'), raised: seq }),
  /** A change that needs a second person's word. */
  z.strictObject({ kind: z.literal('asked'), seq }),
  /** The nth asking whether the rescue service was told that the party was heard from. */
  z.strictObject({ kind: z.literal('standdown'), call: seq, sinceMs: z.int(), n: z.int().min(1) }),
  z.strictObject({ kind: z.literal('stooddown'), seq }),
  /** A promised time is near. */
  z.strictObject({ kind: z.literal('ahead'), key: z.string(), dueMs: z.int() }),
  /** This contact was taken off the roster. */
  z.strictObject({
    kind: z.literal('removed'),
    seq,
    by: z.string(),
    asker: z.string().optional(),
  }),
  z.strictObject({
    kind: z.literal('plan'),
    seq,
    /** Departed just now, else a time moved. */
    departed: z.boolean(),
    /** That everyone is down was taken back. */
    upAgain: z.boolean().optional(),
  }),
  z.strictObject({ kind: z.literal('over'), seq }),
  z.strictObject({ kind: z.literal('drill'), seq }),
  z.strictObject({
    kind: z.literal('ask'),
    ...proposal.shape,
    projectedMs: z.int().optional(),
    why: z.enum(['middle-late', 'cautious-late', 'near']),
    /** Later times that move with it. */
    also: z.array(proposal).max(2).optional(),
  }),
  /** The stop time of a planned night has passed in silence. */
  z.strictObject({
    kind: z.literal('stop'),
    night: seq,
    done: seq,
    stopMs: z.int(),
    /** The ways from there with their odds, as they were when it was asked. */
    ways: z.array(z.string().max(600)).max(10),
  }),
  z.strictObject({
    kind: z.literal('unreached'),
    seq,
    person: z.string(),
    next: z.string().optional(),
  }),
  /** Somebody is asked to be contact, by the way that the entry names. */
  z.strictObject({ kind: z.literal('invite'), seq }),
  /** A contact who is to confirm that they leave a party that is out. */
  z.strictObject({ kind: z.literal('leaving'), seq }),
  /** A contact has left, or (not `gone`) wants to. */
  z.strictObject({ kind: z.literal('left'), seq, person: z.string(), gone: z.boolean() }),
  /** One way to a contact has ended, or failed when it was rehearsed. */
  z.strictObject({ kind: z.literal('lost'), seq }),
  /** A mail came in that could not be read; the channel may understand it. */
  z.strictObject({ kind: z.literal('mail'), seq }),
  /** The trip's record can't be read from this entry on. */
  z.strictObject({ kind: z.literal('unreadable'), seq }),
  /** Posts have not reached us since then, which is no word about the party. */
  z.strictObject({ kind: z.literal('deaf'), sinceMs: z.int() }),
  /** They do again. */
  z.strictObject({ kind: z.literal('hearing'), sinceMs: z.int(), backMs: z.int() }),
  /** It can be read again, and is watched. */
  z.strictObject({ kind: z.literal('readable'), seq }),
  /** The record erases itself then. */
  z.strictObject({ kind: z.literal('erasing'), atMs: z.int() }),
]);

/** How far delivery has got; kept with the notice, so that a restart goes on where it was. */
const progress = z.strictObject({
  /** Ways given up for this notice. */
  gone: z.array(z.enum(['channel', ...wayName.options])).default([]),
  /** Failures so far, of the ways that may still work. */
  failures: z.int().min(0).default(0),
  /** It was said aloud that this person can't be reached so far. */
  aloud: z.boolean().default(false),
  /** The one way this notice takes; another one of the same words takes each other way. */
  only: z.enum(['channel', ...wayName.options]).optional(),
  /** Told once more, because an older word of the same alarm was late on its way. */
  overtaken: z.boolean().optional(),
  /** Told once more at the right time, because a clock that was wrong told it too early. */
  early: z.boolean().optional(),
});

/**
 * What is stored of a notice: whom it is for, what it is about, how far its delivery has got. The
 * words are made when it is sent.
 */
export const noticeData = z.strictObject({
  /** FIELD for the channel, else a person's id. */
  to: z.string().min(1),
  what,
  progress: progress.default({ gone: [], failures: 0, aloud: false }),
});

/** A notice as it is stored. */
export type NoticeData = z.infer<typeof noticeData>;
/** What a notice is about. */
export type What = NoticeData['what'];

/** The urgency of a phase; smaller goes first. */
const URGENCY: Record<AlarmPhase, number> = { distress: 0, alert: 1, uncertainty: 2, due: 3 };

/** How urgent a phase is; the smaller number is sent first. */
export function urgencyOf(phase: AlarmPhase): number {
  return URGENCY[phase];
}

interface Manner {
  /** Smaller goes first. A phase goes by its own. */
  urgency: number;
  /** Hours after which it is no longer worth telling; null for never. */
  lifeH: number | null;
}

/**
 * How each kind of notice is told. A kind that is missing doesn't compile. The end of an alarm is as
 * urgent as an alert: somebody may be on the phone to the rescue service.
 */
export type Manners = Readonly<Record<What['kind'], Manner>>;

const MANNER: Manners = {
  phase: { urgency: URGENCY.distress, lifeH: null },
  ended: { urgency: 1, lifeH: 72 },
  called: { urgency: 1, lifeH: 24 },
  early: { urgency: 1, lifeH: 24 },
  asked: { urgency: 1, lifeH: 6 },
  standdown: { urgency: 1, lifeH: 12 },
  stooddown: { urgency: 1, lifeH: 24 },
  ahead: { urgency: 3, lifeH: 1 },
  removed: { urgency: 4, lifeH: 72 },
  unreadable: { urgency: 1, lifeH: null },
  readable: { urgency: 1, lifeH: null },
  deaf: { urgency: 2, lifeH: 2 },
  hearing: { urgency: 2, lifeH: 24 },
  erasing: { urgency: 5, lifeH: 7 * 24 },
  unreached: { urgency: 2, lifeH: 24 },
  ask: { urgency: 4, lifeH: 6 },
  stop: { urgency: 4, lifeH: 1 },
  drill: { urgency: 4, lifeH: 24 },
  invite: { urgency: 4, lifeH: 72 },
  leaving: { urgency: 4, lifeH: 24 },
  mail: { urgency: 1, lifeH: 24 },
  left: { urgency: 2, lifeH: 24 },
  lost: { urgency: 2, lifeH: 24 },
  plan: { urgency: 5, lifeH: 48 },
  over: { urgency: 5, lifeH: 48 },
};

/** The notice's key, made of the record's own numbers, so that the same notice is never queued twice. */
export function noticeKey(trip: string, to: string, about: What): string {
  const tail = (() => {
    switch (about.kind) {
      case 'phase':
        return [
          about.raised,
          ...(about.repeat === undefined ? [] : [`repeat-${about.repeat}`]),
          ...(about.lapsed === undefined ? [] : [`lapsed-${about.lapsed}`]),
          ...(about.reopened === true ? ['again'] : []),
        ].join('/');
      case 'ask':
        return [about, ...(about.also ?? [])].map((t) => `${t.what}/${t.agreedMs}`).join('/');
      case 'stop':
        return `${about.night}/${about.stopMs}`;
      case 'early':
        return String(about.raised);
      case 'standdown':
        return `${about.call}/${about.sinceMs}/${about.n}`;
      case 'deaf':
      case 'hearing':
        return String(about.sinceMs);
      case 'ahead':
        return `${about.key}/${about.dueMs}`;
      case 'erasing':
        return String(about.atMs);
      default:
        return String(about.seq);
    }
  })();
  return `${trip}/${about.kind}/${tail}/${to}`;
}

/**
 * A notice to be queued.
 *
 * @param to an id of the roster, or FIELD
 * @param dueAtMs when it is to be sent, epoch milliseconds
 */
export function newNotice(
  trip: string,
  to: string,
  about: What,
  dueAtMs: number,
  more: { phase?: AlarmPhase; key?: string } = {},
): NewNotice {
  const manner = MANNER[about.kind];
  const urgency = more.phase === undefined ? manner.urgency : URGENCY[more.phase];
  const { lifeH } = manner;
  const data: z.input<typeof noticeData> = { to, what: about };
  return {
    key: `${noticeKey(trip, to, about)}${more.key ?? ''}`,
    trip,
    urgency,
    dueAtMs,
    data,
    ...(lifeH === null ? {} : { expiresAtMs: dueAtMs + lifeH * 3_600_000 }),
  };
}
