/** A trip that can't be read blocks its channel only until somebody of it, or a manager, ends it. */
import { join } from 'node:path';
import { expect, onTestFinished, test } from 'vitest';
import { sqlite } from '../../src/store/sqlite/driver.ts';
import { ask } from '../commands/ask.ts';
import { openDemo, text, world } from '../helpers/world.ts';

const Sqlite = sqlite();

async function damaged() {
  const w = await world();
  onTestFinished(() => w.close());
  await openDemo(w);
  await w.say('mara', '/trip depart');
  const { row } = await w.trip();
  const db = new Sqlite(join(w.folder, 'trips.db'));
  db.prepare('UPDATE event SET kind = ? WHERE trip = ? AND seq = 5').run('nothing.known', row.id);
  db.close();
  w.app.records.forget(row.id);
  const as = (user: string, path: string, options = {}, manager = false) =>
    ask(w, { user, channel: row.channel, ...(manager ? { manager } : {}) }, path, options);
  return { w, row, as };
}

test.each([
  ['whoever opened it', 'local:mara', false],
  ['somebody on it', 'local:jonas', false],
  ['a manager of the server', 'boss', true],
])('%s closes it after being asked, and the channel is free', async (_, user, manager) => {
  const { w, row, as } = await damaged();
  const asked = await as(user, 'trip close', {}, manager);
  expect([asked.code, asked.buttons?.map((b) => b.label)]).toEqual([
    'watch-would-end',
    ['Close all the same'],
  ]);
  expect((await w.store.trip(row.id))?.status).toBe('open');
  const closed = await as(user, 'trip close', { sure: true }, manager);
  expect(text(closed)).toContain('another trip can be opened in this channel');
  expect((await w.store.trip(row.id))?.status).toBe('closed');
  expect(await w.store.events(row.id)).toHaveLength(row.seq);
  expect(w.app.records.unreadable).toEqual([]);
  const again = await as(user, 'trip open', { name: 'Anew', zone: 'Europe/Oslo' }, manager);
  expect(again.refused).toBeUndefined();
});

test('a stranger neither closes nor erases it', async () => {
  const { w, row, as } = await damaged();
  const sure = { sure: true };
  expect((await as('stray', 'trip close', sure)).code).toBe('unreadable-record');
  expect((await as('stray', 'trip purge', { sure: row.id })).code).toBe('unreadable-record');
  expect((await w.store.trip(row.id))?.status).toBe('open');
});

test('whoever opened it, or a manager, erases it once it is closed', async () => {
  const { w, row, as } = await damaged();
  expect((await as('local:mara', 'trip purge', { sure: row.id })).code).toBe('watch-would-end');
  await as('local:mara', 'trip close', { sure: true });
  const asked = await as('boss', 'trip purge', {}, true);
  expect(text(asked)).toContain('Erase Harrow Tower');
  expect((await as('local:mara', 'trip purge', { sure: row.id })).refused).toBeUndefined();
  expect((await w.store.trip(row.id))?.status).toBe('purged');
});
