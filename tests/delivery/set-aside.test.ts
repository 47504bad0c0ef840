/** One trip's record can't be read: it is set aside, loudly, and the others go on. */
import { join } from 'node:path';
import { pino } from 'pino';
import { afterEach, beforeEach, describe, expect, onTestFinished, test } from 'vitest';
import type { App } from '../../src/app/app.ts';
import { viewBoard } from '../../src/app/board/view.ts';
import { watchParts } from '../../src/app/watch/parts.ts';
import { Watch } from '../../src/delivery/loop.ts';
import type { Envelope, Sent } from '../../src/delivery/ports.ts';
import { lookOver } from '../../src/delivery/set-aside.ts';
import { Health } from '../../src/ops/health.ts';
import { bare } from '../../src/say/message.ts';
import { sqlite } from '../../src/store/sqlite/driver.ts';
import { openSqliteStore } from '../../src/store/sqlite/store.ts';
import { ask } from '../commands/ask.ts';
import { bareBot } from '../helpers/bot.ts';
import { openDemo, text, type World, world } from '../helpers/world.ts';

const Sqlite = sqlite();

const MARA = { user: 'local:mara', name: 'Mara', channel: 'local:main' };
const OTHERS = { channel: 'c-2' };
const MINUTE = 60_000;

let w: World;
beforeEach(async () => {
  w = await world();
  await openDemo(w);
  for (const line of ['/trip depart', '/checkin plan once:12:00'])
    expect([line, (await w.say('mara', line)).refused]).toEqual([line, undefined]);
  const open = { name: 'Lantern Slab', zone: 'Europe/Oslo' };
  for (const [path, options] of [
    ['trip open', open],
    ['topo edit', { number: 1, length: '30' }],
    ['trip depart', {}],
    ['checkin plan', { once: '12:00' }],
  ] as const)
    expect([path, (await ask(w, OTHERS, path, options)).refused]).toEqual([path, undefined]);
});
afterEach(() => w.close());

interface Run {
  app: App;
  watch: Watch;
  health: Health;
  told: { to: string; subject: string; text: string }[];
  logged: Record<string, unknown>[];
  /** Reads the open trips, as every start does. */
  start(): Promise<void>;
}

/** The bot started anew on the file: nothing of the trips is in memory. */
function restart(send: (to: string) => Sent = () => ({ ok: true, receipt: 'r' })): Run {
  const store = openSqliteStore({ path: join(w.folder, 'trips.db') });
  onTestFinished(() => store.close());
  const logged: Run['logged'] = [];
  const log = pino({ level: 'debug' }, { write: (line: string) => logged.push(JSON.parse(line)) });
  const app = bareBot({ store, clock: w.clock, ids: w.app.ids, log });
  const told: Run['told'] = [];
  const say = (to: string, { message }: Envelope): Sent => {
    const sent = send(to);
    if (sent.ok)
      told.push({ to, subject: message.subject, text: message.lines.map(bare).join('\n') });
    return sent;
  };
  const ways = {
    channel: async (channel: string, envelope: Envelope) => say(channel, envelope),
    email: async ({ name }: { name: string }, envelope: Envelope) => say(name, envelope),
  };
  const parts = watchParts(app, { ways, owner: 'here/1/1' });
  const watch = new Watch(parts);
  const health = new Health({
    missing: async () => [],
    clock: w.clock,
    store,
    records: app.records,
    loop: () => watch.status(),
  });
  return { app, watch, health, told, logged, start: () => lookOver(parts) };
}

/** Changes a row behind the bot's back; gives what puts it right again. */
function damage(trip: string, column: 'kind' | 'data', value: string): () => void {
  const db = new Sqlite(join(w.folder, 'trips.db'));
  const set = db.prepare(`UPDATE event SET ${column} = ? WHERE trip = ? AND seq = 4`);
  const was = db
    .prepare(`SELECT ${column} FROM event WHERE trip = ? AND seq = 4`)
    .pluck()
    .get(trip);
  set.run(value, trip);
  onTestFinished(() => void (db.open && db.close()));
  return () => set.run(was, trip);
}

const tower = async () => (await w.store.openTripIn('local:main'))?.id as string;
const subjects = ({ told }: Run) => told.map(({ to, subject }) => `${to}: ${subject}`);
const ASIDE = 'local:main: This trip is not watched';
const BACK = 'local:main: Harrow Tower is watched again';

describe.each([
  ['data of another shape', 'data', '{"nobody":"knows"}'],
  ['data that is no JSON', 'data', '{"name":"Jon'],
  ['a kind that no release knows', 'kind', 'roster.flown'],
] as const)('%s', (_, column, value) => {
  test.each([
    ['found at the start', true],
    ['found when its deadline rings', false],
  ])(
    '%s: its channel is told once, the log and health name it, the others are watched',
    async (_how, atStart) => {
      const trip = await tower();
      damage(trip, column, value);
      const run = restart();
      if (atStart) await run.start();
      for (const at of ['12:01', '12:02', '12:20']) {
        w.at(`2031-06-12 ${at}`);
        await run.watch.tick();
      }
      expect(subjects(run).sort()).toEqual(['c-2: Lantern Slab: a word is due', ASIDE].sort());
      const words = run.told.find((t) => t.to === 'local:main')?.text;
      expect(words).toMatch(/can't read this trip's record .* from entry 4 on\. Nothing is lost\./);
      expect(words).toContain('Nobody watches its clock');
      expect(words).toContain(`trip ${trip}, entry 4`);
      const lines = run.logged.filter((l) => l.level === 50);
      expect(lines).toMatchObject([{ trip, entry: 4, why: expect.any(String) }]);
      const report = await run.health.report();
      expect([report.ok, report.checks.records.says]).toEqual([
        false,
        `set aside, can't be read: ${trip}`,
      ]);
      // Not even one that is due holds up the loop.
      expect(await run.app.store.due(w.clock.wallMs(), 9)).toEqual([]);
    },
  );
});

test('whoever uses a command there is told whom to tell; a board says it', async () => {
  const trip = await tower();
  damage(trip, 'data', '{}');
  const { app, logged } = restart();
  for (const [path, options] of [
    ['pitch done', { number: 1 }],
    ['overdue show', {}],
    ['log show', {}],
    ['board', {}],
    ['checkin ok', {}],
  ] as const) {
    const reply = await ask({ ...w, app }, MARA, path, options);
    expect([path, reply.refused]).toEqual([path, true]);
    expect(text(reply)).toMatch(/from entry 4 on\. Nothing is lost\.\nNobody watches its clock/);
    expect(text(reply)).toContain(`in its log it is trip ${trip}, entry 4.`);
    expect(text(reply)).not.toContain('Something went wrong');
  }
  expect(logged.filter((l) => l.level === 50)).toHaveLength(1);
  const board = await viewBoard(app, trip, w.clock.wallMs());
  expect(board).toMatchObject({ live: true, ended: false });
  expect(text(board?.reply ?? { lines: [] })).toContain('Nobody watches its clock');
  // The way out it names works.
  const elsewhere = { ...MARA, channel: 'c-3' };
  const opened = await ask({ ...w, app }, elsewhere, 'trip open', {
    name: 'Harrow Tower',
    zone: 'Europe/Oslo',
  });
  expect(opened.refused).toBeUndefined();
});

test('mended while the bot runs, it is watched again, and what fell due meanwhile is told', async () => {
  const mend = damage(await tower(), 'data', '{}');
  const run = restart();
  await run.start();
  w.at('2031-06-12 12:01');
  await run.watch.tick();
  expect(subjects(run)).toContain(ASIDE);
  mend();
  run.told.length = 0;
  w.clock.advance(149 * MINUTE);
  await run.watch.tick();
  // Due 12:00, told to the contact at 12:30, overdue at 14:00: the highest that stands is told.
  await run.watch.tick();
  expect(subjects(run)).toContain(BACK);
  expect(subjects(run)).toContain('local:main: Harrow Tower: overdue');
  expect(subjects(run).some((s) => s.startsWith('Dana: '))).toBe(true);
  expect((await run.health.report()).checks.records.ok).toBe(true);
  expect((await ask({ ...w, app: run.app }, MARA, 'checkin ok')).refused).toBeUndefined();
});

test('mended by a newer release, it is watched from the start; damaged once more, that is said once more', async () => {
  const trip = await tower();
  const mend = damage(trip, 'kind', 'roster.flown');
  const first = restart();
  await first.start();
  w.at('2031-06-12 12:01');
  await first.watch.tick();
  mend();
  const second = restart();
  await second.start();
  await second.watch.tick();
  expect(subjects(second)).toEqual(
    expect.arrayContaining([BACK, 'local:main: Harrow Tower: a word is due']),
  );
  damage(trip, 'kind', 'roster.flown');
  const third = restart();
  await third.start();
  await third.watch.tick();
  await third.watch.tick();
  expect(subjects(third).filter((s) => s.startsWith('local:main'))).toEqual([ASIDE]);
});

test('notices of it wait, past their time too, and go out when it can be read', async () => {
  const trip = await tower();
  const down = restart(() => ({ ok: false, retry: 'later', why: 'http-503' }));
  await down.watch.tick();
  const waiting = async () =>
    (await w.store.notices(trip)).filter((n) => n.status === 'pending').map((n) => n.key);
  const before = await waiting();
  expect(before.length).toBeGreaterThan(0);
  const mend = damage(trip, 'data', '{}');
  const run = restart();
  await run.start();
  // Two days and more: longer than news of the plan are worth telling.
  for (const hours of [1, 24, 30]) {
    w.clock.advance(hours * 60 * MINUTE);
    await run.watch.tick();
  }
  expect(await waiting()).toEqual(before);
  expect(subjects(run).filter((s) => s.startsWith('local:main'))).toEqual([ASIDE]);
  mend();
  w.clock.advance(10 * MINUTE);
  await run.watch.tick();
  w.clock.advance(10 * MINUTE);
  await run.watch.tick();
  expect(await waiting()).toEqual([]);
});
