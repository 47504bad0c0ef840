/**
 * Two writers at once, for every pair of ways into a record. Both are in it afterwards, or the one who
 * lost is answered rightly; nothing is lost and the numbers are whole. `two processes` are two bots on
 * one file, held until both are about to write; `one process` is one bot that is asked twice.
 */
import { copyFileSync, mkdtempSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { pino } from 'pino';
import { afterAll, beforeAll, describe, expect, onTestFinished, test } from 'vitest';
import type { App } from '../../src/app/app.ts';
import { dispatch } from '../../src/app/dispatch.ts';
import { watchParts } from '../../src/app/watch/parts.ts';
import { Watch } from '../../src/delivery/loop.ts';
import type { Sent } from '../../src/delivery/ports.ts';
import { tellUnreached } from '../../src/delivery/unreached.ts';
import { createLinks } from '../../src/page/server/links.ts';
import { buildPageServer } from '../../src/page/server/server.ts';
import type { Reply } from '../../src/say/reply.ts';
import type { Store } from '../../src/store/port.ts';
import { openSqliteStore } from '../../src/store/sqlite/store.ts';
import { readFacts } from '../../src/trip/read.ts';
import { bareBot } from '../helpers/bot.ts';
import { ManualClock } from '../helpers/clock.ts';
import { ROOM } from '../helpers/room.ts';
import { SECRET } from '../helpers/secret.ts';
import { instant, openDemo, text, type World, world, ZONE } from '../helpers/world.ts';

const MAIN = 'local:main';
const ELSEWHERE = 'c-2';
const TOKEN = 'a1'.repeat(20);
/** A check-in was promised for noon. */
const NOW_MS = instant(ZONE, '2031-06-12 12:01');

let w: World;
let trip: string;
let record: Uint8Array;
beforeAll(async () => {
  w = await world();
  await openDemo(w);
  await w.say('mara', '/trip depart');
  await w.say('mara', '/checkin plan once:12:00');
  trip = (await w.trip()).row.id;
  await createLinks({
    store: w.store,
    baseUrl: 'https://x.test',
    token: () => TOKEN,
    secret: SECRET,
  }).make(trip, NOW_MS);
  record = (await w.say('mara', '/log export')).files?.[0]?.bytes as Uint8Array;
  await w.store.backup(join(w.folder, 'scene.db'));
});
afterAll(() => w.close());

/** A bot on a file. `letter` keeps the ids of two of them apart. */
function botOn(path: string, letter: string): App {
  const store = openSqliteStore({ path });
  onTestFinished(() => store.close());
  const clock = new ManualClock();
  clock.set(NOW_MS);
  let n = 0;
  const next = () => `${letter}${String(++n).padStart(7, '0')}`;
  const ids = { trip: next, event: next, reference: next };
  const pages = createLinks({
    store,
    baseUrl: 'https://x.test',
    token: () => TOKEN,
    secret: SECRET,
  });
  return bareBot({ store, clock, ids, log: pino({ level: 'silent' }) }, { pages });
}

function copyOfScene(): string {
  const folder = mkdtempSync(join(ROOM, 'tagline-two-'));
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
  const path = join(folder, 'trips.db');
  copyFileSync(join(w.folder, 'scene.db'), path);
  return path;
}

/** What one writer heard. */
type Heard = { refused: boolean; words: string };

/** A way into the record; the second writer of a pair is number 1. */
type Way = (app: App, number: 0 | 1) => Promise<Heard>;

const said = (reply: Reply): Heard => ({ refused: reply.refused === true, words: text(reply) });

function command(app: App, channel: string, path: string, options: object): Promise<Reply> {
  const call = {
    id: app.ids.event(),
    atMs: NOW_MS,
    actor: { id: 'local:mara', name: 'Mara' },
    where: { channel, direct: false },
  };
  return dispatch(app, call, path, options as never);
}

const ways: Record<string, Way> = {
  'a command': async (app, number) =>
    said(await command(app, MAIN, 'topo edit', { number: number + 1, note: `note ${number}` })),
  'an opening': async (app) =>
    said(await command(app, ELSEWHERE, 'trip open', { name: 'Lantern Slab', zone: ZONE })),
  'an import': async (app) => {
    const file = { name: 'r.jsonl', size: record.length, bytes: async () => record };
    return said(await command(app, ELSEWHERE, 'trip open', { record: file }));
  },
  'the page’s sheet': async (app) => {
    const links = app.pages as ReturnType<typeof createLinks>;
    const server = await buildPageServer({ app, links, trustProxy: false });
    onTestFinished(() => server.close());
    const { statusCode, body } = await server.inject({
      method: 'POST',
      url: `/t/${trip}/${TOKEN}/sheet`,
    });
    const whole = statusCode === 200 && body.includes('+47 000 00 000');
    return { refused: !whole, words: `${statusCode}` };
  },
  'the watch’s alarm': async (app, number) => {
    const sent = async (): Promise<Sent> => ({ ok: true, receipt: 'r' });
    const owner = `here/${number}/1`;
    const watch = new Watch(watchParts(app, { owner, ways: { channel: sent, email: sent } }));
    await watch.tick();
    // Whoever was faster has replaced the deadline; the loop looks again at once.
    await watch.tick();
    return { refused: watch.status().faults > 0, words: '' };
  },
  'the watch’s word of somebody unreached': async (app, number) => {
    const parts = watchParts(app, { owner: `here/${number}/1`, ways: {} });
    const row = { trip, key: 'k', urgency: 5, dueAtMs: NOW_MS };
    const what = { kind: 'plan', seq: 1, departed: true } as const;
    const progress = { gone: [], failures: 0, aloud: false };
    await tellUnreached(parts, row, { to: 'dana', what, progress }, 'no-way', NOW_MS);
    return { refused: false, words: '' };
  },
};
const NAMES = Object.keys(ways);
const PAIRS = NAMES.flatMap((one, i) => NAMES.slice(i).map((other) => [one, other] as const));

/** Holds the first write of each of two stores until both are about to write, or one has ended. */
function meet(stores: readonly Store[]): { ended(): void } {
  let here = 0;
  let go = () => {};
  const both = new Promise<void>((resolve) => {
    go = resolve;
  });
  const arrive = () => {
    here += 1;
    if (here >= 2) go();
  };
  for (const store of stores) {
    let first = true;
    const held =
      <A extends unknown[], R>(work: (...args: A) => Promise<R>) =>
      async (...args: A): Promise<R> => {
        if (first) {
          first = false;
          arrive();
          await both;
        }
        return work(...args);
      };
    store.append = held(store.append);
    store.openTrip = held(store.openTrip);
    store.fire = held(store.fire);
  }
  return { ended: () => go() };
}

async function together(
  [one, other]: readonly [string, string],
  apps: readonly [App, App],
): Promise<Heard[]> {
  const gate = apps[0] === apps[1] ? undefined : meet([apps[0].store, apps[1].store]);
  return Promise.all(
    [one, other].map(async (name, i) => {
      const heard = await (ways[name] as Way)(apps[i] as App, i as 0 | 1);
      gate?.ended();
      return heard;
    }),
  );
}

async function facts(store: Store, id: string) {
  const raws = await store.events(id);
  expect(raws.map((r) => r.seq)).toEqual(raws.map((_, i) => i + 1));
  expect(new Set(raws.map((r) => r.id)).size).toBe(raws.length);
  expect((await store.trip(id))?.seq).toBe(raws.length);
  const read = readFacts(raws);
  if (!read.ok) throw new Error(read.why);
  return read.value;
}

describe.each(['two processes', 'one process'])('%s', (how) => {
  test.each(PAIRS)('%s and %s', async (one, other) => {
    const path = copyOfScene();
    const first = botOn(path, 'p');
    const apps = [first, how === 'one process' ? first : botOn(path, 'q')] as const;
    const before = (await facts(first.store, trip)).length;
    const heard = await together([one, other], apps);

    const added = (await facts(first.store, trip)).slice(before);
    const times = (name: string) => [one, other].filter((n) => n === name).length;
    const count = (kind: string) => added.filter((f) => f.kind === kind).length;
    // Each command is in the record, and its writer was told so. Openings of one reader fold into one.
    const notes = added.flatMap((f) => (f.kind === 'topo.set' ? [f.data] : []));
    expect(notes).toHaveLength(times('a command'));
    expect(count('watch.sheet')).toBe(Math.min(1, times('the page’s sheet')));
    // What the watch has to say is said once, however many look at it.
    expect(count('watch.raised')).toBe(Math.min(1, times('the watch’s alarm')));
    expect(count('watch.unreached')).toBe(
      Math.min(1, times('the watch’s word of somebody unreached')),
    );
    const kinds = new Set(['topo.set', 'watch.sheet', 'watch.raised', 'watch.unreached']);
    expect(added.filter((f) => !kinds.has(f.kind))).toEqual([]);
    // One trip is opened in a channel; who comes second is told of it.
    const openings = times('an opening') + times('an import');
    const refused = heard.filter((h) => h.refused);
    expect(refused).toHaveLength(Math.max(0, openings - 1));
    for (const { words } of refused) expect(words).toContain('is open in this channel');
    const opened = await first.store.openTripIn(ELSEWHERE);
    expect(opened === undefined).toBe(openings === 0);
    if (opened !== undefined)
      expect((await facts(first.store, opened.id)).length).toBeGreaterThan(0);
    // Every process reads the same afterwards.
    for (const app of apps) {
      const loaded = await app.records.load(trip);
      expect(loaded?.history).toEqual(await facts(first.store, trip));
    }
  });

  test('a sign of life and the alarm: it was not raised, or it is ended', async () => {
    const path = copyOfScene();
    const first = botOn(path, 'p');
    const second = how === 'one process' ? first : botOn(path, 'q');
    const gate = how === 'one process' ? undefined : meet([first.store, second.store]);
    const [reply] = await Promise.all([
      command(first, MAIN, 'checkin ok', {}).finally(() => gate?.ended()),
      (ways['the watch’s alarm'] as Way)(second, 1).finally(() => gate?.ended()),
    ]);
    expect(reply.refused).toBeUndefined();
    const added = (await facts(first.store, trip)).slice(-2).map((f) => f.kind);
    expect(added.at(-1)).toBe('watch.ok');
    const told = (await first.store.notices(trip)).map(
      (n) => (n.data as { what: { kind: string } }).what.kind,
    );
    // An alarm that nobody was told of yet may be taken out of the outbox instead of being ended.
    const phase = (await first.store.notices(trip)).find((n) => n.key.includes('/phase/'));
    if (added[0] === 'watch.raised')
      expect(told.includes('ended') || phase?.status === 'cancelled').toBe(true);
    else expect(told).not.toContain('phase');
  });
});
