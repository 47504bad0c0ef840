/** What changes about the people bring: who is asked, who answers, who leaves. */
import type { NewNotice } from '../store/port.ts';
import type { Fact } from '../trip/fact.ts';
import type { Person } from '../trip/people.ts';
import type { TripState } from '../trip/state.ts';
import { hasRefused } from './consent.ts';
import { watched } from './expectations.ts';
import { reached } from './ladder.ts';
import { newNotice } from './notice.ts';
import { contacts, FIELD, reachable } from './who.ts';

/** The state after a change, and the new facts. */
interface Change {
  after: TripState;
  events: readonly Fact[];
  nowMs: number;
}

/** A contact who is taken off the roster of a party that is out hears that, and drops the times. */
export function removed(
  before: TripState,
  { after, nowMs }: Change,
  authors: { by: string; asker?: string },
): NewNotice[] {
  if (!watched(before)) return [];
  const gone = (p: Person) => !contacts(after).some((q) => q.id === p.id);
  return reachable(before)
    .filter(gone)
    .flatMap((p) => [
      newNotice(after.id, p.id, { kind: 'removed', seq: after.seq, ...authors }, nowMs),
      ...leftOthers(before, after, { seq: after.seq, person: p.id }, nowMs),
    ]);
}

/** Who shares an alarm with a contact that leaves must not count on them any more. */
function leftOthers(
  before: TripState,
  after: TripState,
  who: { seq: number; person: string },
  nowMs: number,
): NewNotice[] {
  if (!reached(before).has(who.person)) return [];
  const shares = reached(after);
  return reachable(after)
    .filter((p) => shares.has(p.id))
    .map((p) => newNotice(after.id, p.id, { kind: 'left', ...who, gone: true }, nowMs));
}

/** Whoever is asked to be contact gets one message for it; who was asked by a record that was brought along, none. */
export function invited({ after, events, nowMs }: Change): NewNotice[] {
  const brought = events.findLast((event) => event.kind === 'log.imported')?.seq ?? 0;
  return events.flatMap((event) => {
    if (event.kind !== 'contact.asked' || event.seq < brought) return [];
    const waits = after.watch.consents.some((c) => c.askedSeq === event.seq && c.said === 'asked');
    if (!waits) return [];
    return [newNotice(after.id, event.data.person, { kind: 'invite', seq: event.seq }, nowMs)];
  });
}

/** A contact who says yes while an alarm stands is told of it in full; of one who leaves the party is told. */
export function consents(before: TripState, { after, events, nowMs }: Change): NewNotice[] {
  const answered = new Set<string>();
  return events.flatMap((event): NewNotice[] => {
    if (event.kind === 'contact.leaving') {
      const { person } = event.data;
      const { seq } = event;
      return [
        newNotice(after.id, person, { kind: 'leaving', seq }, nowMs),
        newNotice(after.id, FIELD, { kind: 'left', seq, person, gone: false }, nowMs),
      ];
    }
    if (event.kind === 'mail.received') {
      return [newNotice(after.id, FIELD, { kind: 'mail', seq: event.seq }, nowMs)];
    }
    if (event.kind !== 'contact.answered') return [];
    const { person, answer } = event.data;
    // A yes by two ways at once is one yes.
    if (answered.has(person)) return [];
    answered.add(person);
    const was = reachable(before).some((p) => p.id === person);
    const is = reachable(after).some((p) => p.id === person);
    if (was && !is) {
      const who = { seq: event.seq, person };
      return [
        newNotice(after.id, FIELD, { kind: 'left', ...who, gone: true }, nowMs),
        ...leftOthers(before, after, who, nowMs),
      ];
    }
    if (refusedNow(before, after, person)) {
      const about = { kind: 'left', seq: event.seq, person, gone: true } as const;
      return [newNotice(after.id, FIELD, about, nowMs)];
    }
    const raised = reached(after).get(person);
    if (answer === 'no' || was || raised === undefined) return [];
    const more = { phase: raised.phase, key: `/${event.seq}` };
    return [newNotice(after.id, person, { kind: 'phase', raised: raised.seq }, nowMs, more)];
  });
}

/** Whether somebody who was asked has said no now, by every way: the party has to find another one. */
function refusedNow(before: TripState, after: TripState, id: string): boolean {
  const person = contacts(after).find((p) => p.id === id);
  return person !== undefined && hasRefused(after, person) && !hasRefused(before, person);
}
