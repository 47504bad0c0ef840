/** Trips that were open and are gone, because another database stands in the place of theirs. */
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, it, onTestFinished } from 'vitest';
import { OpenTrips } from '../../src/ops/open-trips.ts';
import { openSqliteStore } from '../../src/store/sqlite/store.ts';
import { openDemo, world } from '../helpers/world.ts';

it('finds a trip missing after the database was replaced, not after it was closed or erased', async () => {
  const w = await world();
  onTestFinished(() => w.close());
  const logged: object[] = [];
  const log = { error: (fields: object) => void logged.push(fields) };
  const trips = new OpenTrips(w.store, w.folder, log as never);
  expect(await trips.missing()).toEqual([]);
  await openDemo(w);
  expect(await trips.missing()).toEqual([]);
  const { id } = (await w.trip()).row;
  const file = join(w.folder, 'open-trips');
  expect(readFileSync(file, 'utf8')).toBe(`${id}\n`);

  const empty = openSqliteStore({ path: ':memory:' });
  onTestFinished(() => empty.close());
  const after = new OpenTrips(empty, w.folder, log as never);
  expect(await after.missing()).toEqual([id]);
  // It stays so until somebody looks, and is logged once.
  expect(await after.missing()).toEqual([id]);
  expect(logged).toEqual([{ trips: [id] }]);

  await w.store.purge(id, w.clock.wallMs());
  expect(await trips.missing()).toEqual([]);
  expect(readFileSync(file, 'utf8')).toBe('');
});
