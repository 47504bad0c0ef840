/**
 * Design, invariant 6: no party's input, mail server or fault delays another party's alarm. A party is watched once
 * alone and once among others whose servers hang, refuse or fault, whose records are damaged and who post all the
 * time: it is told the same, at the same minute.
 */
import fc from 'fast-check';
import { pino } from 'pino';
import { expect, it } from 'vitest';
import { deriveWatch } from '../../src/alarm/derive.ts';
import { Watch } from '../../src/delivery/loop.ts';
import { type Envelope, NO_COUNTERS, type Sent } from '../../src/delivery/ports.ts';
import { Records } from '../../src/record/records.ts';
import { bare } from '../../src/say/message.ts';
import type { Store } from '../../src/store/port.ts';
import { DAWN_MS, HOUR, MINUTE, opened, type Story } from '../alarm/trip.ts';
import { countingIds } from '../chat/fakes.ts';
import { ManualClock } from '../helpers/clock.ts';
import { runs } from '../helpers/long.ts';
import { testStore } from '../helpers/store.ts';

const MINE = 'mine0001';

/** What another party's people and servers do. */
interface Other {
  /** When it is missed, minutes after six in the evening. */
  downMin: number;
  calloutMin: number;
  /** By way: of its channel, its contact's account and the contact's mail server. */
  channel: Mood;
  dm: Mood;
  email: Mood;
  /** Its record can't be read, or can't be written. */
  record: 'whole' | 'unreadable' | 'throws';
  /** Posts a minute. */
  posts: number;
}
type Mood = 'well' | 'hangs' | 'later' | 'never' | 'faults';

const mood = fc.constantFrom<Mood>('well', 'hangs', 'hangs', 'later', 'never', 'faults');
const other: fc.Arbitrary<Other> = fc.record({
  downMin: fc.integer({ min: 0, max: 90 }),
  calloutMin: fc.integer({ min: 91, max: 240 }),
  channel: mood,
  dm: mood,
  email: mood,
  record: fc.constantFrom('whole', 'whole', 'whole', 'unreadable', 'throws'),
  posts: fc.constantFrom(0, 0, 0, 1, 3),
});
const party = fc.record({
  downMin: fc.integer({ min: 30, max: 90 }),
  calloutMin: fc.integer({ min: 91, max: 240 }),
});
type Party = typeof party extends fc.Arbitrary<infer T> ? T : never;

const EVENING_MS = DAWN_MS + 12 * HOUR;
const UNTIL_MIN = 250;
const STEPS_MS = [4_000, 4_000, 4_000, MINUTE - 12_000];

/** Each contact has a mail server of its own. */
function story(trip: string, { downMin, calloutMin }: Party): Story {
  const at = (min: number) => EVENING_MS + min * MINUTE;
  return opened(trip).tell(
    {
      kind: 'roster.edited',
      data: { id: 'dana', patch: { email: `dana@${trip}.example`, userId: `u-${trip}` } },
    },
    { kind: 'roster.removed', data: { id: 'pal' } },
    { kind: 'watch.planned', data: { downMs: at(downMin), calloutMs: at(calloutMin) } },
    { kind: 'trip.departed', at: DAWN_MS },
  );
}

/** What `mine` was told, as `minute way: words`. */
async function told(mine: Party, others: readonly Other[]): Promise<string[]> {
  const inner = testStore(':memory:');
  const clock = new ManualClock();
  clock.set(EVENING_MS);
  const of = new Map(others.map((o, i) => [`other${String(i).padStart(3, '0')}`, o]));
  const store = damaged(inner, of);
  const heard: string[] = [];
  const held: (() => void)[] = [];
  const send = async (way: 'channel' | 'dm' | 'email', envelope: Envelope): Promise<Sent> => {
    const ok = { ok: true, receipt: 'x' } as const;
    const how = of.get(envelope.trip)?.[way];
    if (how === undefined) {
      const words = [envelope.message.subject, ...envelope.message.lines.map(bare)].join(' | ');
      heard.push(`${Math.floor((clock.wallMs() - EVENING_MS) / MINUTE)} ${way}: ${words}`);
      return ok;
    }
    if (how === 'faults') throw new Error('a fault of ours');
    if (how === 'hangs') return new Promise((go) => held.push(() => go(ok)));
    return how === 'well' ? ok : { ok: false, retry: how, why: how };
  };
  const log = pino({ level: 'silent' });
  const records = new Records({
    store,
    log,
    ids: countingIds(),
    derive: deriveWatch,
    changed: () => watch.poke(),
  });
  const watch: Watch = new Watch({
    ...{ store, clock, log, records, owner: 'here/1/1', counters: NO_COUNTERS },
    organizer: 'watch@example.org',
    ways: {
      channel: (_, envelope) => send('channel', envelope),
      dm: (_, envelope) => send('dm', envelope),
      email: (_, envelope) => send('email', envelope),
    },
  });
  for (const [trip, plan] of [...of, [MINE, mine]] as [string, Party][]) {
    const { state, events } = story(trip, plan);
    const change = { before: undefined, after: state, events, nowMs: DAWN_MS };
    await inner.openTrip(
      { id: trip, channel: `c-${trip}`, openedAtMs: DAWN_MS },
      {
        ...{ key: trip, events, answer: null, members: [], status: 'open', name: state.name },
        ...{ deadlines: deriveWatch(change).deadlines, notices: [] },
      },
    );
  }
  const off = new AbortController();
  const running = watch.run(off.signal);
  try {
    for (let min = 0; min < UNTIL_MIN; min++) {
      for (const [trip, { posts }] of of)
        for (let n = 0; n < posts; n++) await post(records, trip, clock.wallMs(), `${min}-${n}`);
      // While something hangs, the beginning of a minute goes by in small steps.
      for (const stepMs of held.length === 0 ? [MINUTE] : STEPS_MS) {
        clock.advance(stepMs);
        await still(() => [heard.length, held.length, watch.status().inFlight, clock.sleeping]);
      }
    }
    return heard;
  } finally {
    off.abort();
    for (const go of held) go();
    await still(() => [watch.status().inFlight]);
    clock.advance(MINUTE);
    await running;
    await inner.close();
  }
}

async function post(records: Records, trip: string, nowMs: number, key: string): Promise<void> {
  await records
    .write({
      ...{ trip, nowMs, key: `${trip} ${key}`, by: { id: 'u-mara', name: 'Mara' } },
      decide: () => [{ kind: 'watch.details', data: { vehicle: key } }],
      answer: () => null,
    })
    .catch(() => undefined);
}

/** Until nothing has changed for a while: nothing here waits for anything but its turn. */
async function still(look: () => readonly number[]): Promise<void> {
  let last = '';
  for (let same = 0; same < 25; ) {
    await new Promise((go) => setImmediate(go));
    const now = look().join();
    same = now === last ? same + 1 : 0;
    last = now;
  }
}

/** The store, in which some records can't be read and some fault. */
function damaged(inner: Store, of: ReadonlyMap<string, Other>): Store {
  return new Proxy(inner, {
    get(target, name) {
      const value = target[name as keyof Store];
      if (typeof value !== 'function') return value;
      return async (...args: unknown[]) => {
        const [first] = args;
        const trip = typeof first === 'string' ? first : (first as { trip?: string })?.trip;
        const record = of.get(trip ?? '')?.record;
        if (record === 'throws' && (name === 'fire' || name === 'trip'))
          throw new Error('a page of the file can not be read');
        const result = await (value as (...a: unknown[]) => unknown).apply(target, args);
        return record === 'unreadable' && name === 'events'
          ? (result as object[]).map((e) => ({ ...e, data: { nonsense: [1] } }))
          : result;
      };
    },
  });
}

it('whatever the others do, a party is told the same at the same minute', async () => {
  await fc.assert(
    fc.asyncProperty(
      party,
      fc.array(other, { minLength: 1, maxLength: runs(12, 30) }),
      async (mine, all) => {
        const alone = await told(mine, []);
        // The channel at its time, then home, overdue, distress by every way.
        expect(alone.length).toBeGreaterThan(4);
        expect(await told(mine, all)).toEqual(alone);
      },
    ),
    { numRuns: runs(1, 300), seed: 20310612 },
  );
});

it('nor do fifty servers that hang at the same minute, each of another party', async () => {
  const mine = { downMin: 60, calloutMin: 120 };
  const hanging = (n: number): Other => ({
    ...{ downMin: 59 + (n % 2), calloutMin: 119 + (n % 2) },
    ...{ channel: 'well', dm: 'hangs', email: 'hangs', record: 'whole', posts: 0 },
  });
  const alone = await told(mine, []);
  expect(
    await told(
      mine,
      Array.from({ length: 50 }, (_, n) => hanging(n)),
    ),
  ).toEqual(alone);
});
