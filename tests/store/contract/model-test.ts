import fc from 'fast-check';
import { expect, it } from 'vitest';
import type { Store } from '../../../src/store/port.ts';
import { append, notice } from '../posts.ts';
import type { Database, MakeDatabase } from './database.ts';
import { Model } from './model.ts';

/** Small ranges, so that ids meet: the same trip, channel, key and due time again and again. */
const TRIPS = ['t1', 't2', 't3'];
const CHANNELS = ['c1', 'c2'];
const trip = fc.constantFrom(...TRIPS);
const timeMs = fc.integer({ min: 1, max: 6 });
const duties = fc.uniqueArray(
  fc.record({
    key: fc.constantFrom('checkin', 'down', 'topout'),
    dueAtMs: fc.integer({ min: 1, max: 2 }),
  }),
  { selector: (d) => d.key },
);
const owner = fc.constantFrom('one', 'two');
const noticeKey = fc.integer({ min: 0, max: 9 }).map((n) => `n${n}`);
const noticesFor = fc.array(fc.record({ key: noticeKey, urgency: fc.nat(2), dueAtMs: timeMs }), {
  maxLength: 3,
});

interface Real {
  database: Database;
  store: Store;
  /** Makes event ids and interaction keys that were never used. */
  count: number;
}
type Step = fc.AsyncCommand<Model, Real>;

/** A step that does the same on both sides and holds the answers to be equal, then everything else. */
function step(name: string, run: (model: Model, real: Real) => Promise<void>): Step {
  return {
    check: () => true,
    toString: () => name,
    async run(model, real) {
      await run(model, real);
      await compare(model, real.store);
    },
  };
}

interface Post {
  trip: string;
  /** How far behind the newest state the decision was made. */
  stale: number;
  events: number;
  closes: boolean;
  members: string[];
  duties: { key: string; dueAtMs: number }[];
  notices: { key: string; urgency: number; dueAtMs: number }[];
  cancels: string[];
  /** Use the key of an earlier post. */
  repeats: boolean;
}

const post: fc.Arbitrary<Post> = fc.record({
  trip,
  stale: fc.constantFrom(0, 0, 0, 1),
  events: fc.nat(2),
  closes: fc.constantFrom(false, false, true),
  members: fc.uniqueArray(fc.constantFrom('u1', 'u2', 'u3')),
  duties,
  notices: noticesFor,
  cancels: fc.array(noticeKey, { maxLength: 2 }),
  repeats: fc.constantFrom(false, false, false, true),
});

function asAppend(model: Model, real: Real, p: Post) {
  const newest = model.trips.get(p.trip)?.ids.length ?? 0;
  const afterSeq = Math.max(0, newest - p.stale);
  const n = ++real.count;
  const [template] = append(p.trip, 0).events;
  return append(p.trip, afterSeq, {
    key: (p.repeats ? [...model.answers.keys()].at(n % 3) : undefined) ?? `k${n}`,
    events: Array.from({ length: p.events }, (_, i) => ({ ...template!, id: `e${n}-${i}` })),
    answer: { n },
    members: p.members,
    status: p.closes ? 'closed' : 'open',
    deadlines: p.duties.map((d) => ({ ...d, data: n })),
    notices: p.notices.map(({ key, ...more }) => notice(p.trip, key, more)),
    cancelNotices: p.cancels,
  });
}

const steps = [
  fc.tuple(post, fc.constantFrom(...CHANNELS)).map(([p, channel]) =>
    step(`open ${channel} ${JSON.stringify(p)}`, async (model, real) => {
      const first = { ...asAppend(model, real, p), afterSeq: 0, status: 'open' as const };
      const { trip: id, afterSeq: _, ...rest } = first;
      const got = await real.store.openTrip({ id, channel, openedAtMs: real.count }, rest);
      expect(got).toEqual(model.open(id, channel, first));
    }),
  ),
  fc.array(post, { minLength: 1, maxLength: 4 }).map((posts) =>
    step(`post together ${JSON.stringify(posts)}`, async (model, real) => {
      // To one trip, because nothing is promised of the order between trips.
      const appends = posts.map((p) => asAppend(model, real, { ...p, trip: posts[0]?.trip ?? '' }));
      const got = await Promise.all(appends.map((a) => real.store.append(a)));
      expect(got).toEqual(appends.map((a) => model.append(a)));
    }),
  ),
  fc.tuple(trip, duties, timeMs, noticesFor).map(([id, keyed, atMs, queued]) =>
    step(`fire ${id} ${JSON.stringify({ keyed, atMs, queued })}`, async (model, real) => {
      const keys = keyed.map((d) => d.key);
      const notices = queued.map(({ key, ...more }) => notice(id, key, more));
      // A trip that isn't there, or nothing to mark, has nothing to queue for.
      if (!model.trips.has(id) || keys.length === 0) return;
      const got = await real.store.fire({ trip: id, keys, atMs, notices });
      expect(got).toBe(model.fire(id, keys, atMs, notices));
    }),
  ),
  fc.tuple(timeMs, timeMs, fc.integer({ min: 1, max: 4 })).map(([nowMs, lease, limit]) =>
    step(`claim ${nowMs} ${lease} ${limit}`, async (model, real) => {
      const leaseUntilMs = nowMs + lease;
      const got = await real.store.claimNotices({ nowMs, owner: 'three', leaseUntilMs, limit });
      expect(got.map((n) => n.key)).toEqual(model.claim(nowMs, leaseUntilMs, limit));
    }),
  ),
  fc
    .tuple(timeMs, timeMs, fc.integer({ min: 1, max: 3 }), owner)
    .map(([nowMs, lease, limit, who]) =>
      step(`claim due ${nowMs} ${lease} ${limit} ${who}`, async (model, real) => {
        const leaseUntilMs = nowMs + lease;
        const got = await real.store.claimDue({ nowMs, owner: who, leaseUntilMs, limit });
        expect(got.map((d) => `${d.trip} ${d.key}`)).toEqual(
          model.claimDue(nowMs, who, leaseUntilMs, limit),
        );
      }),
    ),
  owner.map((who) =>
    step(`release ${who}`, async (model, real) => {
      await real.store.releaseLeases(who);
      model.release(who);
    }),
  ),
  fc
    .tuple(
      noticeKey,
      fc.constantFrom('sent' as const, 'pending' as const, 'failed' as const),
      timeMs,
    )
    .map(([key, status, nextTryAtMs]) =>
      step(`record ${key} ${status} ${nextTryAtMs}`, async (model, real) => {
        const outcome = { status, nextTryAtMs, error: 'refused' };
        await real.store.recordDeliveries([{ key, atMs: 1, outcome }]);
        model.record(key, status, nextTryAtMs);
      }),
    ),
  trip.map((id) =>
    step(`purge ${id}`, async (model, real) => {
      await real.store.purge(id, 1);
      model.purge(id);
    }),
  ),
  fc.constant(
    step('restart', async (_, real) => {
      await real.store.close();
      real.store = await real.database.store();
    }),
  ),
];

async function compare(model: Model, store: Store): Promise<void> {
  await Promise.all([
    ...TRIPS.map((id) => compareTrip(model, store, id)),
    ...['u1', 'u2', 'u3'].map(async (user) => {
      const mine = (await store.openTripsOf(user)).map((t) => t.id);
      expect(mine.sort()).toEqual(
        [...model.trips]
          .flatMap(([id, t]) => (t.status === 'open' && t.members.includes(user) ? [id] : []))
          .sort(),
      );
    }),
    ...[...model.answers].map(async ([key, { answer }]) => {
      expect(await store.answered(key)).toEqual({ answer });
    }),
  ]);
  const [due, next, nextOfOne, notice] = await Promise.all([
    store.due(4, 100),
    store.nextDue(),
    store.nextDue('one'),
    store.nextNoticeAt(),
  ]);
  expect(due.map((d) => `${d.trip} ${d.key}`)).toEqual(model.due(4));
  expect([next, nextOfOne]).toEqual([model.nextDue(), model.nextDue('one')]);
  expect(notice).toBe(model.nextNoticeAt());
}

async function compareTrip(model: Model, store: Store, id: string): Promise<void> {
  const expected = model.trips.get(id);
  const [row, events, notices] = await Promise.all([
    store.trip(id),
    store.events(id),
    store.notices(id),
  ]);
  expect(row && [row.status, row.channel, row.seq]).toEqual(
    expected && [expected.status, expected.channel, expected.ids.length],
  );
  expect(events.map((e) => [e.seq, e.id])).toEqual(
    (expected?.ids ?? []).map((eventId, i) => [i + 1, eventId]),
  );
  expect(notices.map((n) => [n.key, n.status, n.nextTryAtMs]).sort()).toEqual(
    [...model.notices.values()]
      .filter((n) => n.trip === id)
      .map((n) => [n.key, n.status, n.nextTryAtMs])
      .sort(),
  );
}

/** Any sequence of posts, firings, claims, deliveries and restarts does what it does on plain maps. */
export function modelContract(make: MakeDatabase, numRuns: number): void {
  it('does what the plain model does, for any sequence of posts, firings, deliveries and restarts', async () => {
    await fc.assert(
      fc.asyncProperty(fc.commands(steps, { maxCommands: 40, size: 'max' }), async (commands) => {
        const database = await make();
        const real: Real = { database, store: await database.store(), count: 0 };
        try {
          await fc.asyncModelRun(() => ({ model: new Model(), real }), commands);
        } finally {
          await real.store.close();
        }
      }),
      { numRuns },
    );
  });
}
