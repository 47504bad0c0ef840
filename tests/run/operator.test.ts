/** What whoever runs the bot asks on the command line. */
import { afterEach, beforeEach, expect, test } from 'vitest';
import { listTrips, purgeTrip } from '../../src/run/operator.ts';
import { readSettings } from '../../src/settings.ts';
import { openDemo, type World, world } from '../helpers/world.ts';

let w: World;
beforeEach(async () => {
  w = await world();
  await openDemo(w);
});
afterEach(() => w.close());

async function run(work: (o: Parameters<typeof listTrips>[0]) => Promise<void>): Promise<string> {
  const out: string[] = [];
  const settings = readSettings({ TAGLINE_DATA: w.folder });
  await work({ store: w.store, settings, nowMs: w.clock.wallMs(), write: (t) => void out.push(t) });
  return out.join('');
}

test('--list names each trip with its id and when it erases itself', async () => {
  const { id } = (await w.trip()).row;
  const line = await run(listTrips);
  expect(line).toMatch(
    new RegExp(
      `^${id}  open  2031-06-12  7 entries  Harrow Tower  erases itself on 10 Sep 2031\n$`,
    ),
  );
  await w.say('mara', '/trip depart');
  expect(await run(listTrips)).toContain('out, or an alarm or trouble stands; stays');
});

test('--purge erases one, and not one whose party is out and was heard of', async () => {
  const { id } = (await w.trip()).row;
  await expect(run((o) => purgeTrip(o, 'nothing'))).rejects.toThrow(
    'There is no trip nothing. --list names them.',
  );
  await w.say('mara', '/trip depart');
  await expect(run((o) => purgeTrip(o, id))).rejects.toThrow('A party is out by the record');
  w.at('2031-07-20 12:00');
  expect(await run((o) => purgeTrip(o, id))).toContain(`Erased ${id}.`);
  expect(await run(listTrips)).toBe('There are no trips.\n');
});

test('--purge says when bytes are still in the file', async () => {
  const { id } = (await w.trip()).row;
  const store = { ...w.store, check: async () => 'bytes of it are still in the file' };
  expect(await run((o) => purgeTrip({ ...o, store }, id))).toContain(
    'Not in order yet: bytes of it are still in the file. It is tried again with the next erasing, and at the next start.',
  );
});

test('one that can’t be read is listed and purged too', async () => {
  const { id } = (await w.trip()).row;
  const events = (await w.store.events(id)).map((e) => ({ ...e, data: 'torn' }));
  const store = { ...w.store, events: async () => events };
  expect(await run((o) => listTrips({ ...o, store }))).toContain(
    "can't be read; stays until it is purged",
  );
  await run((o) => purgeTrip({ ...o, store }, id));
  expect(await w.store.trips()).toEqual([]);
});
