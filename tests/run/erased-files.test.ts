/** Files that answers left go with their trip: OWASP ASVS 5.0, V14.2.7 (what is unnecessary is deleted). */
import { existsSync, readdirSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { sweep } from '../../src/app/privacy/sweep.ts';
import { filesFolder, keepFile } from '../../src/chat/local/kept-files.ts';
import { dropWithTrips } from '../../src/run/erased-files.ts';
import { purgeTrip } from '../../src/run/operator.ts';
import { readSettings } from '../../src/settings.ts';
import { openDemo, type World, world } from '../helpers/world.ts';

let w: World;
let stop: () => Promise<void>;
let folder: string;
beforeEach(async () => {
  w = await world();
  await openDemo(w);
  stop = dropWithTrips(w.app, w.folder);
  folder = filesFolder(w.folder, (await w.trip()).row.id);
  const [file] = (await w.say('mara', '/log export')).files ?? [];
  if (file === undefined) throw new Error('no file');
  keepFile(folder, file);
});
afterEach(() => w.close());

test('they are for their owner only, and stay while the trip does', async () => {
  const [name = ''] = readdirSync(folder);
  expect(statSync(folder).mode & 0o777).toBe(0o700);
  expect(statSync(join(folder, name)).mode & 0o777).toBe(0o600);
  await w.say('mara', '/trip close');
  await stop();
  expect(readdirSync(folder)).toEqual([name]);
});

test('ASVS V14.2.7: they are gone when somebody erases it', async () => {
  await w.say('mara', '/trip close');
  await w.say('mara', '/trip purge');
  await w.say('mara', '[Erase for good]');
  await stop();
  expect(existsSync(folder)).toBe(false);
});

test('ASVS V14.2.7: they are gone when it erases itself', async () => {
  await w.say('mara', '/trip close');
  for (const day of ['2031-09-04', '2031-09-12', '2031-12-30']) {
    w.at(`${day} 12:00`);
    await sweep(w.app);
    await w.tick();
  }
  await stop();
  expect(await w.store.trips()).toEqual([]);
  expect(existsSync(folder)).toBe(false);
});

test('ASVS V14.2.7: they are gone when whoever runs the bot erases it', async () => {
  const { id } = (await w.trip()).row;
  const settings = readSettings({ TAGLINE_DATA: w.folder });
  await purgeTrip({ store: w.store, settings, nowMs: w.clock.wallMs(), write: () => {} }, id);
  await stop();
  expect(existsSync(folder)).toBe(false);
});
