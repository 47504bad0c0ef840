import { afterEach, beforeEach, expect, test } from 'vitest';
import { openDemo, text, type World, world } from '../helpers/world.ts';

let w: World;
beforeEach(async () => {
  w = await world();
  await openDemo(w);
});
afterEach(() => w.close());

test('a pitch told late lands where it happened and says what was understood', async () => {
  await w.say('mara', '/trip depart');
  w.at('2031-06-12 07:00');
  await w.say('greta', '/pitch start number:1 at:06:20');
  const reply = await w.say('greta', '/pitch done at:06:50');
  expect(text(reply)).toContain('Pitch 1 done at 06:50 (told 07:00 by Greta): 30 min.');
  expect(text(reply)).toContain('Next: Jonas, pitch 2.');
  expect(reply.buttons?.map((b) => b.label)).toEqual(['Undo', 'Change the time']);
});

test('a pitch above one that is not done is refused with both ways out, which work', async () => {
  await w.say('mara', '/trip depart');
  w.at('2031-06-12 08:00');
  await w.say('greta', '/pitch done number:1 at:07:00');
  const refused = await w.say('greta', '/pitch done number:3');
  expect(text(refused)).toContain("Pitch 2 isn't done yet, so 3 can't be.");
  expect(refused.buttons?.map((b) => b.label)).toEqual([
    '2 as well, same time',
    '2 as well, time not known',
    'I meant 2',
  ]);
  w.at('2031-06-12 08:20');
  const mended = await w.say('greta', '[2 as well, same time]');
  expect(text(mended)).toContain('Pitches 2 and 3 done at 08:00');
  const { state } = await w.trip();
  expect(state.pitches.map((p) => p.done !== undefined).slice(0, 4)).toEqual([
    true,
    true,
    true,
    false,
  ]);
});
