import { afterEach, beforeEach, expect, test } from 'vitest';
import { StoreError } from '../../src/store/port.ts';
import { openDemo, text, type World, world } from '../helpers/world.ts';

let w: World;
beforeEach(async () => {
  w = await world();
  await openDemo(w);
});
afterEach(() => w.close());

test.each([
  ['STORE_FULL', "The record can't be written now: the disk is full. Nothing was changed."],
  ['STORE_READ_ONLY', "The record can't be written now: its file is read-only."],
  ['STORE_BUSY', "The record can't be written now: somebody else holds its file."],
  [
    'STORE_REWRITING',
    "The record can't be written now: its file is being written anew, because something was erased.",
  ],
  ['STORE_IO', 'it may or may not be in the record'],
] as const)('%s is said to the one who posts, and the next post goes in', async (code, words) => {
  const before = (await w.trip()).history.length;
  const { append } = w.store;
  w.store.append = () => Promise.reject(new StoreError(code, 'from the store'));
  const refused = await w.say('mara', '/trip depart');
  expect(refused.refused).toBe(true);
  expect(text(refused)).toContain(words);
  expect(text(refused)).toMatch(/Reference \w+\./);
  w.store.append = append;
  expect((await w.trip()).history).toHaveLength(before);
  expect((await w.say('mara', '/trip depart')).refused).not.toBe(true);
});
