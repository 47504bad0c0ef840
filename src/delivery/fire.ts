import { aheadDeadlines, remindsOf } from '../alarm/ahead.ts';
import { deadlinesOf } from '../alarm/deadlines.ts';
import { type PhaseToTell, phasesToTell } from '../alarm/ladder.ts';
import { newNotice } from '../alarm/notice.ts';
import { handOf, repeatsRound, unacked } from '../alarm/repeats.ts';
import { standDownOf } from '../alarm/stand-down.ts';
import { FIELD, reachable, told } from '../alarm/who.ts';
import { SELF } from '../record/self.ts';
import type { NewNotice } from '../store/port.ts';
import type { Draft, Fact } from '../trip/fact.ts';
import type { TripState } from '../trip/state.ts';
import type { WatchParts } from './ports.ts';

/** A span in which nobody was watching: down, asleep, or with a clock that was set. */
export interface Outage {
  fromMs: number;
  toMs: number;
}

export interface FireJob {
  trip: string;
  /** Deadlines that have rung. */
  keys: readonly string[];
  nowMs: number;
  outage?: Outage | undefined;
}

/**
 * Does what a trip's rung deadlines call for: raises phases and repeats them. The record is
 * what decides, not the deadline: it is read now, and everything is stored in one transaction or not
 * at all. Whoever loses a race looks again.
 */
export async function fireTrip(parts: WatchParts, job: FireJob): Promise<void> {
  const { trip, keys, nowMs } = job;
  const written = await parts.records.write({
    trip,
    key: ({ state }) => `watch/${state.id}/${state.seq + 1}`,
    nowMs,
    by: SELF,
    waits: false,
    rung: keys,
    decide: ({ state }) => phasesToTell(state, nowMs).map((phase) => raisedDraft(phase, job)),
    derive: ({ before, after, events }) => ({
      deadlines: deadlinesOf(after, nowMs),
      notices: noticesOf(before, events, job),
    }),
  });
  if (written.outcome === 'refused') throw new Error(`the watch was refused: ${written.no.text}`);
  // Otherwise another process was first, or the deadline moved; what is due then rings again.
  if (written.outcome !== 'written') return;
  for (const { phase } of phasesToTell(written.before, nowMs)) parts.counters.fired(phase);
}

function noticesOf(before: TripState, events: readonly Fact[], job: FireJob): NewNotice[] {
  const up = phasesToTell(before, job.nowMs);
  const raised = up.flatMap((rise, i) =>
    rise.to.map((to) => {
      const about = { kind: 'phase', raised: events[i]?.seq ?? 0 } as const;
      return newNotice(job.trip, to, about, rise.atMs, { phase: rise.phase });
    }),
  );
  return [
    ...raised,
    ...repeatNotices(before, job, up),
    ...remindersAhead(before, job),
    ...standDownNotices(before, job),
  ];
}

function raisedDraft(told: PhaseToTell, { outage, nowMs }: FireJob): Draft {
  const late =
    outage !== undefined && told.atMs >= outage.fromMs && nowMs - told.atMs > LATE_MS
      ? { outage: { fromMs: Math.round(outage.fromMs), toMs: Math.round(outage.toMs) } }
      : {};
  const { phase, root, to } = told;
  return {
    kind: 'watch.raised',
    data: { phase, root: root.key, dueMs: root.dueMs, to: [...to], ...late },
  };
}

/** Later than this is said. */
const LATE_MS = 2 * 60_000;

/** One reminder each, however many were missed; none for whoever hears of a higher phase just now. */
function repeatNotices(state: TripState, job: FireJob, up: readonly PhaseToTell[]): NewNotice[] {
  const risen = new Set(up.flatMap((r) => r.to));
  return [...rungPhases(job.keys)].flatMap(([seq, { rang, lapsed }]) => {
    const raised = state.watch.raised.find((r) => r.seq === seq);
    if (raised === undefined) return [];
    const { last } = repeatsRound(raised, job.nowMs);
    const due = rang && last !== undefined && !stale(last.atMs, job);
    return unacked(state, raised, job.nowMs)
      .filter((to) => !risen.has(to))
      .flatMap((to) => {
        const hand = handOf(state, to, raised)?.seq;
        const lapse = hand !== undefined && lapsed.has(hand) ? hand : undefined;
        if (!due && lapse === undefined) return [];
        const about = {
          kind: 'phase',
          raised: seq,
          ...(lapse === undefined ? { repeat: last?.n ?? 1 } : { lapsed: lapse }),
        } as const;
        return newNotice(state.id, to, about, job.nowMs, { phase: raised.phase });
      });
  });
}

/** The party is reminded of what it promised, in the channel. */
function remindersAhead(state: TripState, { keys, nowMs }: FireJob): NewNotice[] {
  const rung = new Set(keys);
  return aheadDeadlines(state)
    .filter((d) => rung.has(d.key) && remindsOf(state, d.about, nowMs) !== undefined)
    .map(({ about: { key, dueMs } }) =>
      newNotice(state.id, FIELD, { kind: 'ahead', key, dueMs }, nowMs),
    );
}

/** First to who made the call and to the channel; then to everybody. */
function standDownNotices(state: TripState, { keys, nowMs }: FireJob): NewNotice[] {
  const stands = standDownOf(state);
  if (stands === undefined) return [];
  const { call, sinceMs } = stands;
  const about = `standdown:${call.seq}:${sinceMs}:`;
  const rung = keys.filter((k) => k.startsWith(about)).map((k) => Number(k.slice(about.length)));
  if (rung.length === 0) return [];
  const n = Math.max(...rung);
  const caller = reachable(state).filter((p) => told(state, p, call.by));
  const people = n === 1 && caller.length > 0 ? caller : reachable(state);
  return [FIELD, ...people.map((p) => p.id)].map((to) =>
    newNotice(state.id, to, { kind: 'standdown', call: call.seq, sinceMs, n }, nowMs),
  );
}

/** Of what has rung, by the phase it is about: whether a reminder did, and what was in hand and lapsed. */
function rungPhases(keys: readonly string[]) {
  const found = new Map<number, { rang: boolean; lapsed: Set<number> }>();
  for (const key of keys) {
    const [word, seq, n] = key.split(':');
    if (word !== 'repeat' && word !== 'lapse') continue;
    const one = found.get(Number(seq)) ?? { rang: false, lapsed: new Set() };
    if (word === 'lapse') one.lapsed.add(Number(n));
    else one.rang = true;
    found.set(Number(seq), one);
  }
  return found;
}

/** Due long ago though the watch was there: an alarm that has just been brought back. The next is soon. */
function stale(atMs: number, { nowMs, outage }: FireJob): boolean {
  return atMs < Math.min(nowMs - LATE_MS, outage?.fromMs ?? nowMs);
}
