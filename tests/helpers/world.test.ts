import { expect, it, onTestFinished } from 'vitest';
import { openDemo, world } from './world.ts';

it('the tests’ whole bot is watched: a missed check-in is asked after, then told to the contact', async () => {
  const w = await world();
  onTestFinished(() => w.close());
  await openDemo(w);
  await w.say('mara', '/checkin plan once:10:00');
  await w.say('mara', '/trip depart');
  await w.tick();
  expect(w.told.map(({ way, to }) => [way, to])).toEqual([['dm', 'Dana']]);
  w.at('2031-06-12 10:01');
  await w.tick();
  expect(w.told.at(-1)).toMatchObject({ way: 'channel' });
  expect(w.told.at(-1)?.text).toContain('Expected: a check-in at 10:00');
  w.at('2031-06-12 10:31');
  await w.tick();
  expect(w.told.at(-1)).toMatchObject({ way: 'dm', to: 'Dana' });
  expect(w.told.at(-1)?.text).toContain('No word yet from Mara');
});
