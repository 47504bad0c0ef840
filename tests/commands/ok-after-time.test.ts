import { expect, it } from 'vitest';
import { openDemo, text, world } from '../helpers/world.ts';

it('a word after the time to be down asks for a new one, and says that the call-out time is still to be kept', async () => {
  const w = await world();
  await openDemo(w);
  w.at('2031-06-12 06:00');
  await w.say('mara', '/checkin plan down:18:00 callout:22:00');
  await w.say('mara', '/trip depart');
  w.at('2031-06-12 19:10');
  const answer = text(await w.say('greta', '/checkin ok at:19:05'));
  expect(answer).toContain('An agreed time has passed. Agree a new one;');
  expect(answer).toContain('Still to be kept: everyone down by the call-out time 22:00.');
  expect(answer).not.toContain('all that is watched');
  await w.close();
});
