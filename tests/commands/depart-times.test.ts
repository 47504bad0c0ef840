import { afterEach, beforeEach, expect, test } from 'vitest';
import { openDemo, text, type World, world } from '../helpers/world.ts';

let w: World;
beforeEach(async () => {
  w = await world();
  await openDemo(w);
  w.at('2031-06-12 06:10');
  await w.say('mara', '/checkin plan down:"thu 18:00" callout:"thu 22:00"');
});
afterEach(() => w.close());

test('a plan whose times have passed at the departure is refused, with the way to agree it anew', async () => {
  w.at('2031-06-12 19:00');
  const reply = await w.say('mara', '/trip depart');
  expect(reply).toMatchObject({ refused: true, code: 'time-past' });
  expect(text(reply)).toContain('What was agreed has passed: everyone down.');
  expect(reply.buttons?.map((b) => b.label)).toEqual(['Agree new times']);
  expect((await w.trip()).state.departedAtMs).toBeUndefined();
  await w.say('mara', '/checkin plan down:"fri 18:00" callout:"fri 22:00"');
  expect((await w.say('mara', '/trip depart')).refused).toBeUndefined();
});

test('a departure told late, of a time before all that was agreed, is taken', async () => {
  w.at('2031-06-12 19:00');
  expect(text(await w.say('mara', '/trip depart at:"today 06:15"'))).toMatch(/^Departed at 06:15/);
});
