/**
 * What the store promises, on plain maps: slow, without SQL, small enough to be believed. The
 * property test holds the real one to it.
 */
import type { Append, AppendResult, NewNotice, NoticeStatus } from '../../../src/store/port.ts';

interface ModelDeadline {
  dueAtMs: number;
  fired: boolean;
  lease?: { owner: string; untilMs: number };
}

interface ModelTrip {
  channel: string;
  status: 'open' | 'closed' | 'purged';
  ids: string[];
  members: readonly string[];
  deadlines: Map<string, ModelDeadline>;
}

interface ModelNotice extends NewNotice {
  status: NoticeStatus;
  nextTryAtMs: number;
  leaseUntilMs: number;
}

export class Model {
  readonly trips = new Map<string, ModelTrip>();
  readonly answers = new Map<string, { trip: string; answer: unknown }>();
  readonly notices = new Map<string, ModelNotice>();

  open(id: string, channel: string, append: Append): AppendResult {
    const before = this.answers.get(append.key);
    if (before !== undefined) return { ok: false, why: 'repeated', answer: before.answer };
    const taken = this.openIn(channel);
    if (taken !== undefined) return { ok: false, why: 'channel-taken', trip: taken };
    if (this.trips.has(id)) return { ok: false, why: 'conflict' };
    const deadlines = new Map();
    this.trips.set(id, { channel, status: 'open', ids: [], members: [], deadlines });
    return this.append(append);
  }

  append(append: Append): AppendResult {
    const before = this.answers.get(append.key);
    if (before !== undefined) return { ok: false, why: 'repeated', answer: before.answer };
    const trip = this.trips.get(append.trip);
    if (trip === undefined || trip.status === 'purged') return { ok: false, why: 'no-trip' };
    if (trip.ids.length !== append.afterSeq) return { ok: false, why: 'conflict' };
    const taken = append.status === 'open' ? this.openIn(trip.channel) : undefined;
    if (taken !== undefined && taken !== append.trip) {
      return { ok: false, why: 'channel-taken', trip: taken };
    }
    trip.ids.push(...append.events.map((e) => e.id));
    trip.status = append.status;
    trip.members = append.members;
    trip.deadlines = new Map(
      append.deadlines.map(({ key, dueAtMs }) => {
        const was = trip.deadlines.get(key);
        return [key, { dueAtMs, fired: was?.dueAtMs === dueAtMs && was.fired }];
      }),
    );
    for (const key of append.cancelNotices ?? []) {
      const notice = this.notices.get(key);
      if (notice?.trip === append.trip && notice.status === 'pending') notice.status = 'cancelled';
    }
    this.queue(append.notices);
    this.answers.set(append.key, { trip: append.trip, answer: append.answer });
    return { ok: true, seq: trip.ids.length };
  }

  fire(id: string, keys: readonly string[], atMs: number, notices: readonly NewNotice[]) {
    const trip = this.trips.get(id);
    const ready = keys.every((key) => {
      const deadline = trip?.deadlines.get(key);
      return deadline !== undefined && !deadline.fired && deadline.dueAtMs <= atMs;
    });
    if (!ready) return 'already';
    for (const key of keys) trip!.deadlines.get(key)!.fired = true;
    this.queue(notices);
    return 'fired';
  }

  claim(nowMs: number, leaseUntilMs: number, limit: number): string[] {
    const ready = [...this.notices.values()]
      .filter((n) => n.status === 'pending' && n.nextTryAtMs <= nowMs && n.leaseUntilMs <= nowMs)
      .sort((a, b) => a.urgency - b.urgency || a.dueAtMs - b.dueAtMs || (a.key < b.key ? -1 : 1))
      .slice(0, limit);
    for (const notice of ready) notice.leaseUntilMs = leaseUntilMs;
    return ready.map((n) => n.key);
  }

  claimDue(nowMs: number, owner: string, untilMs: number, limit: number): string[] {
    const free = this.unfired()
      .filter(({ dueAtMs, deadline: { lease } }) => {
        const held = lease !== undefined && lease.owner !== owner && lease.untilMs > nowMs;
        return dueAtMs <= nowMs && !held;
      })
      .sort((a, b) => a.dueAtMs - b.dueAtMs || (a.name < b.name ? -1 : 1))
      .slice(0, limit);
    for (const { deadline } of free) deadline.lease = { owner, untilMs };
    return free.map((d) => d.name);
  }

  release(owner: string): void {
    for (const { deadline } of this.unfired()) {
      if (deadline.lease?.owner === owner) delete deadline.lease;
    }
  }

  record(key: string, status: 'sent' | 'pending' | 'failed', nextTryAtMs: number): void {
    const notice = this.notices.get(key);
    if (notice === undefined || notice.status === 'sent') return;
    if (status !== 'sent' && notice.status !== 'pending') return;
    notice.status = status;
    notice.leaseUntilMs = 0;
    if (status === 'pending') notice.nextTryAtMs = nextTryAtMs;
  }

  purge(id: string): void {
    const trip = this.trips.get(id);
    if (trip === undefined) return;
    Object.assign(trip, { channel: '', status: 'purged', ids: [], members: [] });
    trip.deadlines.clear();
    for (const map of [this.answers, this.notices] as Map<string, { trip: string }>[]) {
      for (const [key, row] of map) if (row.trip === id) map.delete(key);
    }
  }

  due(nowMs: number): string[] {
    return this.unfired()
      .filter((d) => d.dueAtMs <= nowMs)
      .sort((a, b) => a.dueAtMs - b.dueAtMs || (a.name < b.name ? -1 : 1))
      .map((d) => d.name);
  }

  nextDue(owner?: string): number | undefined {
    const all = this.unfired().map(({ dueAtMs, deadline: { lease } }) =>
      lease === undefined || lease.owner === owner ? dueAtMs : Math.max(dueAtMs, lease.untilMs),
    );
    return all.length === 0 ? undefined : Math.min(...all);
  }

  nextNoticeAt(): number | undefined {
    const pending = [...this.notices.values()].filter((n) => n.status === 'pending');
    if (pending.length === 0) return undefined;
    return Math.min(...pending.map((n) => Math.max(n.nextTryAtMs, n.leaseUntilMs)));
  }

  private unfired() {
    return [...this.trips].flatMap(([id, trip]) =>
      [...trip.deadlines].flatMap(([key, d]) =>
        d.fired ? [] : [{ name: `${id} ${key}`, dueAtMs: d.dueAtMs, deadline: d }],
      ),
    );
  }

  private openIn(channel: string): string | undefined {
    return [...this.trips].find(([, t]) => t.channel === channel && t.status === 'open')?.[0];
  }

  private queue(notices: readonly NewNotice[]): void {
    for (const notice of notices) {
      if (this.notices.has(notice.key)) continue;
      const state = { status: 'pending' as const, nextTryAtMs: notice.dueAtMs, leaseUntilMs: 0 };
      this.notices.set(notice.key, { ...notice, ...state });
    }
  }
}
