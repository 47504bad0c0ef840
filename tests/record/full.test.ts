/** A full record locks neither a party nor its watch out: what a life may hang on still goes in. */
import { expect, onTestFinished, test } from 'vitest';
import { watchParts } from '../../src/app/watch/parts.ts';
import { Watch } from '../../src/delivery/loop.ts';
import type { Sent } from '../../src/delivery/ports.ts';
import { LIMITS } from '../../src/limits.ts';
import { readRecord } from '../../src/record/file/import.ts';
import { admit } from '../../src/trip/admit.ts';
import type { Draft } from '../../src/trip/fact.ts';
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
  const again = admit('copy', [], history, w.clock.wallMs());
  expect(again.ok).toBe(true);
});
