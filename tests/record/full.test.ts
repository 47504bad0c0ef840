/** A full record locks neither a party nor its watch out: what a life may hang on still goes in. */
import { expect, onTestFinished, test } from 'vitest';
import { watchParts } from '../../src/app/watch/parts.ts';
import { Watch } from '../../src/delivery/loop.ts';
import type { Sent } from '../../src/delivery/ports.ts';
import { LIMITS } from '../../src/limits.ts';
import { recordOpening } from '../../src/page/server/record-opening.ts';
import { readRecord } from '../../src/record/file/import.ts';
import { admit } from '../../src/trip/admit.ts';
import type { Draft } from '../../src/trip/fact.ts';
import { folded } from '../../src/trip/fold.ts';
import { openDemo, text, type World, world } from '../helpers/world.ts';

/** Fills the record to its last entry. */
async function fill(w: World): Promise<void> {
  const { row, history } = await w.trip();
  const draft: Draft = { kind: 'trip.edited', data: { units: 'm' } };
  const written = await w.app.records.write({
    trip: row.id,
    key: 'filling',
    nowMs: w.clock.wallMs(),
    by: { id: 'local:mara', name: 'Mara' },
    decide: () => Array.from({ length: LIMITS.events - history.length }, () => draft),
  });
  expect(written.outcome).toBe('written');
  expect((await w.trip()).history).toHaveLength(LIMITS.events);
}

test('signs of life, alarms, acknowledgement, call-out, sheet, strike, down and close go in; nothing else does', async () => {
  const w = await world();
  onTestFinished(() => w.close());
  await openDemo(w);
  await w.say('mara', '/trip depart');
  await w.say('mara', '/checkin plan once:12:00 down:20:00');
  await fill(w);
  for (const line of ['/pitch done number:1', '/roster add name:Stray', '/lead order rule:swing']) {
    const reply = await w.say('mara', line);
    expect([line, reply.refused]).toEqual([line, true]);
    expect(text(reply)).toContain(`The record holds ${LIMITS.events} entries at most.`);
    expect(text(reply)).toContain(
      'Signs of life, trouble, /trip down and /trip close still go in.',
    );
  }

  const told: string[] = [];
  const sent = async (): Promise<Sent> => ({ ok: true, receipt: 'r' });
  const ways = {
    channel: async () => ({ ok: false, retry: 'never', why: 'gone' }) as const,
    email: async ({ name }: { name: string }) => {
      told.push(name);
      return sent();
    },
  };
  const watch = new Watch(watchParts(w.app, { ways, owner: 'test' }));
  w.at('2031-06-12 14:05');
  await watch.tick();
  expect(told).toContain('Dana');
  const since = async () => (await w.trip()).history.slice(LIMITS.events).map((f) => f.kind);
  expect(new Set(await since())).toEqual(new Set(['watch.raised', 'watch.unreached']));

  const before = (await since()).length;
  for (const [who, line] of [
    ['dana', '/overdue ack'],
    ['dana', '/overdue sheet'],
    ['dana', '/overdue resolve how:called'],
    ['greta', '/checkin ok how:radio'],
    ['greta', `/pitch strike entry:${LIMITS.events + before + 4}`],
    ['greta', '/checkin ok how:radio'],
    ['mara', '[Yes, everyone is down]'],
    ['mara', '/trip close'],
  ] as const) {
    if (line.startsWith('[')) expect((await w.say(who, '/trip down')).refused).toBe(true);
    const reply = await w.say(who, line);
    expect([line, reply.refused, text(reply)]).toEqual([line, undefined, expect.any(String)]);
  }
  expect((await since()).slice(before)).toEqual([
    'watch.acked',
    'watch.sheet',
    'watch.called',
    'watch.ok',
    'log.struck',
    'watch.ok',
    'trip.down',
    'trip.closed',
  ]);
  expect((await w.trip()).row.status).toBe('closed');
  // What went in beyond the limit can be taken along and read back.
  const [file] = (await w.say('mara', '/log export')).files ?? [];
  const { history } = await w.trip();
  expect(history.length).toBeGreaterThan(LIMITS.events);
  expect(await readRecord(file?.bytes as Uint8Array)).toHaveLength(history.length);
  const again = admit(folded('copy', []), history, w.clock.wallMs());
  expect(again.ok).toBe(true);
});

test('ASVS V2.4.1: openings of the sheet fold, so whoever has the link can’t fill the record', async () => {
  const w = await world();
  onTestFinished(() => w.close());
  await openDemo(w);
  const { row, history } = await w.trip();
  const openings = async () =>
    (await w.trip()).history.filter(({ kind }) => kind === 'watch.sheet').length;
  for (let i = 0; i < 60; i++) {
    const state = await recordOpening(w.app, row.id, w.clock.wallMs());
    expect(state?.name).toBe('Harrow Tower');
    w.clock.advance(60_000);
  }
  expect(await openings()).toBe(6);
  // Everybody who reads it by name stands there beside the page.
  expect(text(await w.say('dana', '/overdue sheet'))).toContain('Sheet for Harrow Tower');
  expect(text(await w.say('dana', '/overdue sheet'))).toContain('Sheet for Harrow Tower');
  expect(await openings()).toBe(7);
  expect((await w.trip()).history.length).toBe(history.length + 7);
});

test('ASVS V2.4.1: a full record takes the same word once in ten minutes, and at once after an alarm', async () => {
  const w = await world();
  onTestFinished(() => w.close());
  await openDemo(w);
  await w.say('mara', '/trip depart');
  await w.say('mara', '/checkin plan down:08:00');
  await fill(w);
  const length = async () => (await w.trip()).history.length - LIMITS.events;
  for (let i = 0; i < 5; i++) {
    expect((await w.say('mara', '/checkin ok')).refused).toBeUndefined();
    w.clock.advance(60_000);
  }
  expect(text(await w.say('mara', '/checkin ok'))).toContain('stands in the record already');
  expect(await length()).toBe(1);
  expect((await w.say('greta', '/checkin ok how:radio')).refused).toBeUndefined();
  expect((await w.say('mara', '/checkin ok words:"still here"')).refused).toBeUndefined();
  expect(await length()).toBe(3);
  w.at('2031-06-12 08:00');
  await w.say('mara', '/checkin ok words:"coming down"');
  w.at('2031-06-12 12:30');
  await w.tick();
  const before = await length();
  await w.say('mara', '/checkin ok words:"coming down"');
  expect(await length()).toBe(before + 1);
  expect((await w.trip()).history.at(-1)?.kind).toBe('watch.ok');
});

test('ASVS V2.4.1: whoever floods a full record with signs uses up their own room, and nobody else’s', async () => {
  const w = await world();
  onTestFinished(() => w.close());
  await openDemo(w);
  await w.say('mara', '/trip depart');
  await w.say('mara', '/checkin plan down:20:00');
  await fill(w);
  const flood: (boolean | undefined)[] = [];
  for (let i = 0; i < LIMITS.vitalEach + 20; i++)
    flood.push((await w.say('greta', `/checkin ok how:radio words:"word ${i}"`)).refused);
  expect(flood.filter((refused) => refused !== true)).toHaveLength(LIMITS.vitalEach);
  const refused = await w.say('greta', '/trouble report what:"one more"');
  expect(text(refused)).toMatch(
    /^The record is full, and you have written 100 more entries\.\nAnybody else/u,
  );
  // Everybody else goes on, and the watch.
  w.at('2031-06-12 22:10');
  await w.tick();
  for (const [who, line] of [
    ['dana', '/overdue ack'],
    ['mara', '/trouble report what:"Ines fell, leg hurt"'],
    ['mara', '/trouble over said:"she walks, seen by Mara"'],
    ['jonas', '/checkin ok'],
  ] as const) {
    const reply = await w.say(who, line);
    expect([line, reply.refused, text(reply)]).toEqual([line, undefined, expect.any(String)]);
  }
  expect((await w.trip()).history.filter((f) => f.kind === 'watch.acked')).not.toEqual([]);
  // And they can say what ends it.
  const down = await w.say('greta', '/trip down');
  expect([down.code, text(down)]).not.toContain('too-many');
  if (down.refused)
    expect((await w.say('greta', '[Yes, everyone is down]')).refused).toBeUndefined();
  expect((await w.say('greta', '/trip close')).refused).toBeUndefined();
});

test('one person’s troubles and promises leave room for everybody else’s', async () => {
  const w = await world();
  onTestFinished(() => w.close());
  await openDemo(w);
  await w.say('mara', '/trip depart');
  const codes = new Set<string | undefined>();
  for (let i = 0; i < 60; i++)
    codes.add((await w.say('greta', `/trouble report what:"stone ${i} fell" wants:cope`)).code);
  const troubles = async () =>
    (await w.trip()).history.filter((f) => f.kind === 'trouble.reported').length;
  expect(await troubles()).toBe(50);
  expect(codes).toContain('too-many');
  await w.say('mara', '/trouble report what:"Ines fell, leg hurt"');
  expect(await troubles()).toBe(51);
});
