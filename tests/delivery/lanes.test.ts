/** Nobody waits for another: lanes by way and server, order by person, all ways at distress. */
import { pino } from 'pino';
import { describe, expect, it, onTestFinished } from 'vitest';
import { deriveWatch } from '../../src/alarm/derive.ts';
import { type Lane, Lanes } from '../../src/delivery/lanes.ts';
import { Watch } from '../../src/delivery/loop.ts';
import {
  type Envelope,
  NO_COUNTERS,
  type Sent,
  type WatchParts,
} from '../../src/delivery/ports.ts';
import { bare } from '../../src/say/message.ts';
import { DAWN_MS, departed, HOUR, MINUTE, type Story } from '../alarm/trip.ts';
import { quietRecords } from '../chat/fakes.ts';
import { ManualClock } from '../helpers/clock.ts';
import { testStore } from '../helpers/store.ts';

const DOWN = DAWN_MS + 16 * HOUR;
const CALLOUT = DAWN_MS + 20 * HOUR;

interface Told {
  way: string;
  to: string;
  subject: string;
  text: string;
  atMs: number;
}

/** A watch over stories; what `hangs` names hangs until it is taken out of `held` and called. */
async function scene(stories: readonly Story[], hangs: (to: string) => boolean) {
  const store = testStore(':memory:');
  onTestFinished(() => store.close());
  const clock = new ManualClock();
  clock.set(DOWN - MINUTE);
  const told: Told[] = [];
  const held: (() => void)[] = [];
  const take = (way: string, to: string, { message }: Envelope): Sent => {
    const text = message.lines.map(bare).join('\n');
    told.push({ way, to, subject: message.subject, text, atMs: clock.wallMs() });
    return { ok: true, receipt: 'x' };
  };
  const slow = (way: string, to: string, envelope: Envelope): Promise<Sent> =>
    hangs(to)
      ? new Promise((resolve) => {
          held.push(() => resolve(take(way, to, envelope)));
        })
      : Promise.resolve(take(way, to, envelope));
  const records = quietRecords(store);
  const parts: WatchParts = {
    store,
    clock,
    log: pino({ level: 'silent' }),
    ways: {
      channel: async (channel, envelope) => take('channel', channel, envelope),
      dm: ({ name }, envelope) => slow('dm', name, envelope),
      email: ({ address }, envelope) => slow('email', address, envelope),
      phone: ({ number }, envelope) => slow('phone', number, envelope),
      push: ({ device }, envelope) => slow('push', device.endpoint, envelope),
    },
    records,
    organizer: 'watch@example.org',
    owner: 'here/1/1',
    counters: NO_COUNTERS,
  };
  for (const story of stories) {
    const { state, events } = story;
    const change = { before: undefined, after: state, events, nowMs: DAWN_MS };
    await store.openTrip(
      { id: story.trip, channel: `c-${story.trip}`, openedAtMs: DAWN_MS },
      {
        key: story.trip,
        events,
        answer: null,
        deadlines: deriveWatch(change).deadlines,
        members: [],
        status: 'open',
        name: state.name,
        notices: [],
      },
    );
  }
  const watch = new Watch(parts);
  const off = new AbortController();
  const running = watch.run(off.signal);
  onTestFinished(async () => {
    off.abort();
    for (const go of held) go();
    await running;
  });
  const turns = async (done: () => boolean) => {
    for (let i = 0; i < 20_000 && !done(); i++) await new Promise((go) => setImmediate(go));
    expect(done()).toBe(true);
  };
  /** Until the loop sleeps, with nothing but hanging mail on its way. */
  const rest = () => turns(() => watch.status().inFlight === held.length && clock.sleeping > 0);
  const heard = async (trip: string) => {
    const written = await records.write({
      trip,
      key: 'well',
      nowMs: clock.wallMs(),
      by: { id: 'u-mara', name: 'Mara' },
      decide: () => [{ kind: 'watch.ok', data: { how: 'radio' } }],
      derive: deriveWatch,
    });
    expect(written.outcome).toBe('written');
    watch.poke();
  };
  return { store, clock, told, held, watch, turns, rest, heard };
}

/** One attempt there that was quick. */
function well(lanes: Lanes, lane: Lane): void {
  const place = lanes.take(lane);
  place.quick();
  place.give();
}

const byMail = (trip: string, domain: string) =>
  departed(trip).tell({
    kind: 'roster.edited',
    data: { id: 'dana', patch: { ways: ['email'], email: `dana@${domain}` } },
  });

describe('a mail server that hangs', () => {
  it('keeps nobody else’s alarm, by chat or by another mail server, from going out', async () => {
    const others = Array.from({ length: 40 }, (_, i) => byMail(`tr1p1${i + 100}`, 'slow.example'));
    const mine = byMail('tr1p0001', 'quick.example');
    const { clock, told, turns } = await scene([...others, mine], (a) =>
      a.endsWith('@slow.example'),
    );
    clock.advance(MINUTE + 30 * MINUTE);
    const of = (way: string, end: string) =>
      told.filter((t) => t.way === way && t.to.endsWith(end));
    await turns(() => of('email', 'quick.example').length === 1 && of('channel', '').length >= 41);
    expect(told.every((t) => t.atMs === clock.wallMs())).toBe(true);
  });

  it('leaves room for distress on the same way', () => {
    const lanes = new Lanes();
    const lane = (n: number) =>
      ({ way: 'email', servers: [`s${n % 9}`], person: `p${n}` }) as const;
    // All of them have shown that they are well.
    for (let s = 0; s < 9; s++) well(lanes, lane(s));
    let n = 0;
    while (n < 200) {
      if (lanes.free(lane(n), 1)) lanes.take(lane(n));
      n += 1;
    }
    const mine = { way: 'email', servers: ['mine'], person: 'dana' } as const;
    well(lanes, mine);
    expect([lanes.free(mine, 1), lanes.free(mine, 0)]).toEqual([false, true]);
    const place = lanes.take(mine);
    expect(lanes.free(mine, 0)).toBe(false);
    place.give();
    place.give();
    expect(lanes.free(mine, 0)).toBe(true);
  });

  it('steps aside when it is slow, and starts aside the next time, until it was quick', () => {
    const lanes = new Lanes();
    const lane = (n: number) => ({ way: 'dm', servers: [`s${n}`], person: `p${n}` }) as const;
    // Eighteen untried ones fill their half, also for distress.
    const first = Array.from({ length: 18 }, (_, n) => lanes.take(lane(n)));
    expect(lanes.free(lane(50), 0)).toBe(false);
    for (const place of first) place.slow();
    expect(lanes.free(lane(50), 0)).toBe(true);
    for (const place of first) place.give();
    // Slow ones take no place that others need, as many as wait aside.
    const known = Array.from({ length: 18 }, (_, n) => lanes.take(lane(n)));
    for (let n = 100; n < 118; n++) lanes.take(lane(n));
    for (const n of [200, 201]) expect(lanes.free(lane(n), 0)).toBe(false);
    known[0]?.quick();
    known[0]?.give();
    expect(lanes.free(lane(0), 0)).toBe(true);
    for (let n = 0; n < 18; n++) if (lanes.free(lane(0), 0)) well(lanes, lane(0));
    expect(lanes.free(lane(1), 0)).toBe(false);
    known[1]?.give();
    expect(lanes.free(lane(1), 0)).toBe(true);
  });

  it('waits aside for room there too, so that connections are bounded', () => {
    const lanes = new Lanes();
    const lane = (n: number) => ({ way: 'dm', servers: [`s${n}`], person: `p${n}` }) as const;
    let under = 0;
    for (let n = 0; n < 1000; n++) {
      if (!lanes.free(lane(n), 0)) break;
      lanes.take(lane(n)).slow();
      under += 1;
    }
    expect(under).toBe(128 + 18);
  });

  it('a message to browsers of several services takes a place at each', () => {
    const lanes = new Lanes();
    const lane = (n: number, ...servers: string[]) =>
      ({ way: 'push', servers, person: `p${n}` }) as const;
    for (const host of [['a'], ['a', 'b'], ['b']]) well(lanes, lane(0, ...host));
    const held = Array.from({ length: 16 }, (_, n) => lanes.take(lane(n, 'a', 'b')));
    expect([lanes.free(lane(20, 'a'), 0), lanes.free(lane(21, 'b'), 0)]).toEqual([false, false]);
    held[0]?.give();
    expect([lanes.free(lane(20, 'a'), 0), lanes.free(lane(21, 'b'), 0)]).toEqual([true, true]);
    // One that is full is enough to wait for.
    lanes.take(lane(22, 'b'));
    expect([lanes.free(lane(23, 'a', 'b'), 0), lanes.free(lane(20, 'a'), 0)]).toEqual([
      false,
      true,
    ]);
  });
});

/** Dana by these ways, each with her yes. */
const byWays = (trip: string, ways: string[]) => {
  const yes = (way: string, to: string) => ({
    kind: 'contact.answered',
    data: { person: 'dana', way, to, answer: 'yes' },
  });
  const endpoint = 'https://slow.example/push';
  return departed(trip).tell(
    {
      kind: 'roster.edited',
      data: { id: 'dana', patch: { userId: null, ways, phone: '+47 900 00 000' } },
    },
    {
      kind: 'contact.device',
      data: { person: 'dana', to: 'd1', endpoint, p256dh: 'k', auth: 'a' },
    },
    ...[yes('push', 'd1'), yes('phone', '+4790000000'), yes('email', 'dana@example.org')],
  );
};

describe('a gateway or a push service that hangs', () => {
  it.each([
    ['phone', (to: string) => to.startsWith('+')],
    ['push', (to: string) => to.startsWith('https:')],
  ] as const)(
    '%s: the same person’s other ways and other people are told at once',
    async (way, hangs) => {
      const others = Array.from({ length: 40 }, (_, i) =>
        byWays(`tr1p1${i + 100}`, ['push', 'email', 'phone']),
      );
      const mine = departed('tr1p0001');
      const { clock, told, held, turns } = await scene([...others, mine], hangs);
      clock.advance(CALLOUT - clock.wallMs());
      const by = (w: string) => told.filter((t) => t.way === w);
      await turns(
        () => by('email').length >= 41 && by('dm').length >= 1 && by('channel').length >= 41,
      );
      expect(told.every((t) => t.atMs === clock.wallMs())).toBe(true);
      expect([by(way).length, held.length > 0]).toEqual([0, true]);
    },
  );
});

describe('distress', () => {
  it('goes by all ways of a person at once; its end too; a way that fails is no loss', async () => {
    const { clock, told, rest, turns, heard } = await scene([departed()], () => false);
    clock.advance(CALLOUT + MINUTE - clock.wallMs());
    await rest();
    const dana = () => told.filter((t) => t.to === 'Dana' || t.to === 'dana@example.org');
    expect(
      dana()
        .map((t) => t.way)
        .sort(),
    ).toEqual(['dm', 'email']);
    expect(new Set(dana().map((t) => t.subject)).size).toBe(1);
    told.length = 0;
    await heard('tr1p0001');
    await turns(() => dana().length >= 2);
    await rest();
    expect(
      dana()
        .map((t) => t.way)
        .sort(),
    ).toEqual(['dm', 'email']);
  });

  it('is repeated by one way after the other', async () => {
    const { clock, told, rest } = await scene([departed()], () => false);
    clock.advance(CALLOUT - clock.wallMs());
    await rest();
    const ways: string[] = [];
    for (let i = 0; i < 24 && ways.length < 4; i++) {
      told.length = 0;
      clock.advance(5 * MINUTE);
      await rest();
      ways.push(
        ...told.filter((t) => t.to === 'Dana' || t.to === 'dana@example.org').map((t) => t.way),
      );
    }
    expect(ways).toEqual(['email', 'dm', 'email', 'dm']);
  });
});

describe('an all-clear', () => {
  it('waits for the older alarm on the same way, and goes at once by another', async () => {
    const hangs = (to: string) => to.includes('@');
    const { clock, told, held, rest, turns, heard } = await scene([departed()], hangs);
    clock.advance(CALLOUT - clock.wallMs());
    await rest();
    expect(held.length).toBe(2);
    await heard('tr1p0001');
    const dana = () => told.filter((t) => t.to === 'Dana').map((t) => t.subject);
    await turns(() => dana().length === 2);
    const mails = () => told.filter((t) => t.to === 'dana@example.org').map((t) => t.subject);
    await turns(() => {
      for (const go of held.splice(0)) go();
      return mails().length === 2;
    });
    expect(mails()).toEqual(dana());
    expect(dana()[1]).not.toMatch(/call 112/u);
  });

  it('that an older alarm overtook is told once more by the way of that alarm, and says why', async () => {
    let hanging = true;
    const hangs = (to: string) => hanging && to === 'Dana';
    const { clock, told, held, watch, turns, heard } = await scene([departed()], hangs);
    clock.advance(31 * MINUTE);
    await turns(() => held.length === 1);
    // Given up, and on its way all the same.
    clock.advance(46_000);
    await turns(() => watch.status().inFlight === 0);
    hanging = false;
    await heard('tr1p0001');
    const dana = () => told.filter((t) => t.to === 'Dana');
    await turns(() => dana().length === 1);
    held[0]?.();
    await turns(() => dana().length === 3);
    expect(dana()[1]?.subject).toMatch(/no word yet/u);
    expect(dana()[2]?.subject).toBe(dana()[0]?.subject);
    expect(dana()[2]?.text).toMatch(/^An older message about this was late on its way/u);
  });
});
