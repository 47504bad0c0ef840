import { deadlinesOf } from '../alarm/deadlines.ts';
import { toldOf } from '../alarm/ladder.ts';
import { type NoticeData, newNotice } from '../alarm/notice.ts';
import { accountOf, FIELD, field, reachable } from '../alarm/who.ts';
import { SELF } from '../record/self.ts';
import type { NewNotice, NoticeRow } from '../store/port.ts';
import type { Draft } from '../trip/fact.ts';
import type { TripState } from '../trip/state.ts';
import type { WatchParts } from './ports.ts';

/**
 * Somebody can't be told: it goes into the record, it is said aloud, and an alarm goes to the next
 * person instead. Done once for a person and an alarm, however often it is tried.
 */
export async function tellUnreached(
  parts: WatchParts,
  row: Pick<NoticeRow, 'trip' | 'key' | 'urgency' | 'dueAtMs'>,
  data: NoticeData,
  why: string,
  nowMs: number,
): Promise<void> {
  // A notice about somebody unreachable that can't be told either ends here: it stands in the record.
  if (data.what.kind === 'unreached') {
    parts.log.error({ trip: row.trip, key: row.key, why }, 'nobody is left to be told');
    return;
  }
  const raised = data.what.kind === 'phase' ? data.what.raised : undefined;
  await parts.records.write({
    trip: row.trip,
    // Its own, apart from the alarm's: two at the same entry are two things, and the second is told anew.
    key: ({ state }) => `watch/${state.id}/${state.seq + 1}/unreached/${data.to}`,
    nowMs,
    by: SELF,
    waits: false,
    rung: [],
    decide: ({ state }) =>
      state.closedAtMs !== undefined || saidBefore(state, row, data.to, raised)
        ? []
        : [unreachedDraft(state, data.to, raised, why)],
    derive: ({ before, after, events }) => ({
      deadlines: deadlinesOf(after, nowMs),
      notices: events.flatMap(({ seq }) => {
        const next = instead(before, data.to, raised);
        return [...aloud(before, data, next, seq, nowMs), ...sameWords(before, data, row, next)];
      }),
    }),
  });
}

/** Who is told of the alarm in place of somebody who can't be reached. */
function instead(state: TripState, to: string, raised: number | undefined): string | undefined {
  const alone = to !== FIELD || ownPeople(state).length === 0;
  return raised === undefined || !alone ? undefined : nextPerson(state, raised);
}

function unreachedDraft(
  state: TripState,
  person: string,
  raised: number | undefined,
  why: string,
): Draft {
  const next = instead(state, person, raised);
  return {
    kind: 'watch.unreached',
    data: {
      person,
      why: why.slice(0, 200),
      ...(raised === undefined ? {} : { raised }),
      ...(next === undefined ? {} : { next }),
    },
  };
}

/** The record has it already: for this alarm, or (without one) since this notice fell due. */
function saidBefore(
  state: TripState,
  row: Pick<NoticeRow, 'dueAtMs'>,
  person: string,
  raised: number | undefined,
): boolean {
  return state.watch.unreached.some(
    (u) =>
      u.person === person && u.raised === raised && (raised !== undefined || u.atMs >= row.dueAtMs),
  );
}

/** The next contact who has not been told of this phase. */
function nextPerson(state: TripState, seq: number): string | undefined {
  const raised = state.watch.raised.find((r) => r.seq === seq);
  if (raised === undefined) return undefined;
  const told = toldOf(state, raised);
  return reachable(state).find((p) => !told.includes(p.id))?.id;
}

/** To the channel; when it is the channel that is gone, to everybody else who can be reached. */
function aloud(
  state: TripState,
  data: NoticeData,
  next: string | undefined,
  seq: number,
  nowMs: number,
): NewNotice[] {
  const about = { kind: 'unreached', seq, person: data.to, ...(next ? { next } : {}) } as const;
  const to = data.to === FIELD ? reachable(state).map((p) => p.id) : [FIELD];
  return to.map((group) => newNotice(state.id, group, about, nowMs));
}

/** Party and ground crew who can be told one by one what the channel would have told them. */
function ownPeople(state: TripState): string[] {
  return field(state).flatMap((p) => (accountOf(state, p) === undefined ? [] : [p.id]));
}

/** The same words to somebody else: the next contact, or each of the party and the ground crew. */
function sameWords(
  state: TripState,
  data: NoticeData,
  row: Pick<NoticeRow, 'urgency' | 'dueAtMs'>,
  next: string | undefined,
): NewNotice[] {
  if (data.what.kind !== 'phase') return [];
  const { raised, repeat } = data.what;
  const people = next !== undefined ? [next] : data.to === FIELD ? ownPeople(state) : [];
  return [...new Set(people)].map((to) => {
    const about = {
      kind: 'phase',
      raised,
      instead: data.to,
      ...(repeat === undefined ? {} : { repeat }),
    } as const;
    const phase = state.watch.raised.find((r) => r.seq === raised)?.phase ?? 'alert';
    return newNotice(state.id, to, about, row.dueAtMs, { phase, key: `/instead-of-${data.to}` });
  });
}
