import type { Logger } from 'pino';
import type { RawFact } from '../trip/fact.ts';
import { withOutcome } from './holding-outcome.ts';
import { restsOnKnown } from './holding-rests-on.ts';
import { nonceOf } from './nonce.ts';
import { type Claim, type Delivery, type NoticeRow, type Store, StoreError } from './port.ts';
import { sealedBehind } from './seal.ts';
import { UNWRITABLE } from './unwritable.ts';

type Fire = Parameters<Store['fire']>[0];
type ClaimNotices = Parameters<Store['claimNotices']>[0];

export type HoldingOptions = { log: Pick<Logger, 'error' | 'info'> };

/** A store with how much it holds in memory. */
export interface HoldingStore extends Store {
  readonly held: number;
}

/**
 * A store whose watch goes on when nothing can be written. What has fallen due, its notices and what came of
 * them are held in memory and read as if they were stored. They are written in the same order as soon as
 * something can be. Only the watch's own firing is held: a post is still refused, because what was
 * answered must be on the disk.
 */
export function holdingStore(inner: Store, options: HoldingOptions): HoldingStore {
  const holding = new Holding(inner, options);
  return {
    ...inner,
    get held() {
      return holding.size;
    },
    async append(append) {
      await holding.writeAll();
      return inner.append(append);
    },
    trip: async (id) => holding.withRow(await inner.trip(id)),
    openTripIn: async (channel) => holding.withRow(await inner.openTripIn(channel)),
    lastTripIn: async (channel) => holding.withRow(await inner.lastTripIn(channel)),
    openTrips: async () => (await inner.openTrips()).map((row) => holding.withRow(row)),
    openTripsOf: async (user) => (await inner.openTripsOf(user)).map((row) => holding.withRow(row)),
    events: async (trip, afterSeq) => [
      ...(await inner.events(trip, afterSeq)),
      ...holding.events(trip, afterSeq ?? 0),
    ],
    sealed: async (trip) => {
      const stored = await inner.sealed(trip);
      return sealedBehind(stored, holding.events(trip, stored.length));
    },
    purge: async (trip, atMs) => {
      await inner.purge(trip, atMs);
      holding.forget(trip);
    },
    due: (nowMs, limit) => holding.due(nowMs, limit),
    claimDue: (claim) => holding.claimDue(claim),
    nextDue: (owner) => holding.nextDue(owner),
    fire: (fire) => holding.fire(fire),
    claimNotices: (claim) => holding.claim(claim),
    recordDeliveries: (deliveries) => holding.record(deliveries),
    notices: async (trip) => holding.overlaid(await inner.notices(trip), trip),
    nextNoticeAt: () => holding.nextNoticeAt(),
    async close() {
      // What still can't be written is due again after the next start.
      await holding.writeAll().catch(() => undefined);
      await inner.close();
    },
  };
}

class Holding {
  readonly #inner: Store;
  readonly #log: HoldingOptions['log'];
  readonly #fires: Fire[] = [];
  readonly #notices = new Map<string, NoticeRow>();
  readonly #deliveries = new Map<string, Delivery>();
  /** Until when a notice is on its way that could not be leased. */
  readonly #leases = new Map<string, number>();
  /** What had rung when holding began, with its time: an append that keeps it does not ring it again. */
  readonly #rungBefore = new Map<string, ReadonlyMap<string, number>>();
  #writing: Promise<void> | undefined;

  constructor(inner: Store, { log }: HoldingOptions) {
    this.#inner = inner;
    this.#log = log;
  }

  get size(): number {
    return this.#fires.length + this.#deliveries.size;
  }

  /** Writes everything that is held, in the order in which it was held; rejects when that still fails. */
  async writeAll(): Promise<void> {
    if (this.size === 0) return;
    this.#writing ??= this.#write().finally(() => {
      this.#writing = undefined;
    });
    return this.#writing;
  }

  async #write(): Promise<void> {
    const count = this.size;
    for (let fire = this.#fires[0]; fire !== undefined; fire = this.#fires[0]) {
      const first = await this.#inner.fire(fire);
      // A deadline that another process had rung takes nothing of the rest with it.
      const outcome = first === 'already' ? await this.#inner.fire({ ...fire, keys: [] }) : first;
      this.#fires.shift();
      if (outcome === 'fired') continue;
      // Another process on the same file was first, or an I/O error had let it through after all.
      this.#log.error({ trip: fire.trip, outcome }, 'what was held could not be written as it was');
    }
    this.#notices.clear();
    this.#rungBefore.clear();
    await this.#inner.recordDeliveries([...this.#deliveries.values()]);
    this.#deliveries.clear();
    this.#leases.clear();
    this.#log.info({ count }, 'what could not be written for a while is written now');
  }

  async fire(fire: Fire): ReturnType<Store['fire']> {
    try {
      await this.writeAll();
      return await this.#inner.fire(fire);
    } catch (error) {
      this.#mustHold(error);
      const held = (trip: string, seq: number) => this.events(trip, seq);
      if (!(await restsOnKnown(fire, this.#inner, held))) return 'conflict';
      const isHeld = this.#fires.some((f) => f.trip === fire.trip && same(f, fire));
      if (!isHeld && (fire.keys.length > 0 || fire.notices.length > 0)) await this.#hold(fire);
      return 'fired';
    }
  }

  async #hold(fire: Fire): Promise<void> {
    const { trip } = fire;
    if (!this.#rungBefore.has(trip)) {
      const rung = await this.#inner.rung(trip);
      this.#rungBefore.set(trip, new Map(rung.map((d) => [d.key, d.dueAtMs])));
    }
    this.#fires.push(fire);
    for (const notice of fire.notices) {
      if (this.#notices.has(notice.key)) continue;
      this.#notices.set(notice.key, {
        ...notice,
        nonce: nonceOf(notice.key),
        status: 'pending',
        attempts: 0,
        nextTryAtMs: notice.dueAtMs,
        unwritten: true,
      });
    }
  }

  #mustHold(error: unknown): void {
    if (!(error instanceof StoreError) || !UNWRITABLE.has(error.code)) throw error;
    if (this.size === 0) {
      this.#log.error(
        { code: error.code },
        'nothing can be written; the watch goes on from memory',
      );
    }
  }

  forget(trip: string): void {
    const left = this.#fires.filter((f) => f.trip !== trip);
    this.#fires.splice(0, this.#fires.length, ...left);
    for (const [key, row] of this.#notices) if (row.trip === trip) this.#notices.delete(key);
  }

  #of(trip: string): Fire[] {
    return this.#fires.filter((f) => f.trip === trip);
  }

  withRow<T extends { id: string; seq: number } | undefined>(row: T): T {
    if (row === undefined || this.#fires.length === 0) return row;
    const added = this.events(row.id, row.seq).length;
    return added === 0 ? row : { ...row, seq: row.seq + added };
  }

  events(trip: string, afterSeq: number): RawFact[] {
    return this.#of(trip).flatMap(({ append }) =>
      (append?.events ?? []).flatMap((event, i) => {
        const seq = (append?.afterSeq ?? 0) + 1 + i;
        return seq > afterSeq ? [{ ...event, trip, seq } as RawFact] : [];
      }),
    );
  }

  async due(nowMs: number, limit: number): ReturnType<Store['due']> {
    const rows = await this.#inner.due(nowMs, limit + this.#fires.length * 20);
    if (this.#fires.length === 0) return rows;
    const held = this.#deadlines().filter((d) => d.dueAtMs <= nowMs);
    const all = [...rows.filter((d) => !this.#replaced(d)), ...held];
    return all.sort((a, b) => a.dueAtMs - b.dueAtMs).slice(0, limit);
  }

  /** What can't be leased is handed out all the same: nobody else can write either. */
  async claimDue(claim: Claim): ReturnType<Store['due']> {
    try {
      await this.writeAll();
      return await this.#inner.claimDue(claim);
    } catch (error) {
      if (!(error instanceof StoreError) || !UNWRITABLE.has(error.code)) throw error;
      return this.due(claim.nowMs, claim.limit);
    }
  }

  async nextDue(owner?: string): Promise<number | undefined> {
    if (this.#fires.length === 0) return this.#inner.nextDue(owner);
    const [first] = await this.due(Number.MAX_SAFE_INTEGER, 1);
    return first?.dueAtMs;
  }

  /** Deadlines of trips with held facts, as the newest of those has them, without those that rang. */
  #deadlines() {
    const newest = new Map<string, Fire>();
    for (const f of this.#fires) if (f.append !== undefined) newest.set(f.trip, f);
    return [...newest].flatMap(([trip, { append }]) =>
      (append?.deadlines ?? []).flatMap((d) => {
        const dueAtMs = Math.round(d.dueAtMs);
        return this.#rang(trip, d.key, dueAtMs) ? [] : [{ ...d, trip, dueAtMs }];
      }),
    );
  }

  #rang(trip: string, key: string, dueAtMs: number): boolean {
    if (this.#rungBefore.get(trip)?.get(key) === dueAtMs) return true;
    return this.#of(trip).some((f) => f.keys.includes(key));
  }

  #replaced({ trip, key }: { trip: string; key: string }): boolean {
    const mine = this.#of(trip);
    return mine.some((f) => f.append !== undefined) || mine.some((f) => f.keys.includes(key));
  }

  async claim(claim: ClaimNotices): Promise<NoticeRow[]> {
    try {
      await this.writeAll();
      return await this.#inner.claimNotices(claim);
    } catch (error) {
      this.#mustHold(error);
    }
    const { nowMs, limit, leaseUntilMs } = claim;
    const ready = (await this.#pending()).filter(
      (row) => Math.max(row.nextTryAtMs, this.#leases.get(row.key) ?? 0) <= nowMs,
    );
    const rows: NoticeRow[] = [];
    for (const row of ready) {
      if (rows.length < limit && claim.take?.(row) !== false) rows.push(row);
    }
    for (const { key } of rows) this.#leases.set(key, leaseUntilMs);
    return rows;
  }

  /** What is still to be told, in order, by the store and by what is held. */
  async #pending(): Promise<NoticeRow[]> {
    const stored = await this.#inner.readyNotices(Number.MAX_SAFE_INTEGER);
    const all = [...stored, ...this.#notices.values()].map((row) =>
      withOutcome(row, this.#deliveries.get(row.key)),
    );
    const unique = new Map(all.map((row) => [row.key, row]));
    return [...unique.values()]
      .filter((row) => row.status === 'pending')
      .sort((a, b) => a.urgency - b.urgency || a.dueAtMs - b.dueAtMs || (a.key < b.key ? -1 : 1));
  }

  overlaid(rows: readonly NoticeRow[], trip: string): NoticeRow[] {
    const held = [...this.#notices.values()].filter((n) => n.trip === trip);
    const known = new Set(rows.map((r) => r.key));
    return [...rows, ...held.filter((n) => !known.has(n.key))].map((row) =>
      withOutcome(row, this.#deliveries.get(row.key)),
    );
  }

  async record(deliveries: readonly Delivery[]): Promise<void> {
    try {
      await this.writeAll();
      await this.#inner.recordDeliveries(deliveries);
    } catch (error) {
      this.#mustHold(error);
      for (const delivery of deliveries) {
        this.#leases.delete(delivery.key);
        if (delivery.outcome.status !== 'untried') this.#deliveries.set(delivery.key, delivery);
      }
    }
  }

  async nextNoticeAt(): Promise<number | undefined> {
    if (this.size === 0 && this.#leases.size === 0) return this.#inner.nextNoticeAt();
    const times = (await this.#pending()).map((row) =>
      Math.max(row.nextTryAtMs, this.#leases.get(row.key) ?? 0),
    );
    return times.length === 0 ? undefined : times.reduce((a, b) => Math.min(a, b));
  }
}

/** The same deadlines rung with the same notices: asked again because the loop looked again. */
const same = (a: Fire, b: Fire) => namesOf(a) === namesOf(b);
const namesOf = (f: Fire) => JSON.stringify([f.keys, f.notices.map((n) => n.key)]);
