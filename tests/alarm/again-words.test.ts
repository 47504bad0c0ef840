import { afterEach, beforeEach, expect, it } from 'vitest';
import { openDemo, type World, world } from '../helpers/world.ts';

let w: World;
beforeEach(async () => {
  w = await world();
  await openDemo(w);
  await w.say('mara', '/trip depart');
});
afterEach(() => w.close());

it('a reminder of trouble says that it stands, not that nothing was heard', async () => {
  w.at('2031-06-12 10:00');
  await w.say('greta', '/trouble report who:Ines what:"broken ankle" where:"ledge 5"');
  await w.tick();
  w.told.length = 0;
  w.at('2031-06-12 10:20');
  await w.tick();
  const again = w.told.map((t) => t.text).filter((t) => t.includes('Again:'));
  expect(again.length).toBeGreaterThan(0);
  for (const text of again) {
    expect(text).toContain('Again: nobody has said that it is over.');
    expect(text).not.toContain('nothing was heard');
  }
});
