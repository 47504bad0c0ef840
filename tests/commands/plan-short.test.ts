import { expect, it } from 'vitest';
import { openDemo, text, world } from '../helpers/world.ts';

it('/plan says first that they slept short of the planned night, and not where they slept as planned', async () => {
  const w = await world();
  await openDemo(w);
  await w.say('mara', '/bivy plan pitch:5');
  w.at('2031-06-12 06:00');
  await w.say('mara', '/trip depart');
  for (const [number, at] of [
    [1, '12:00'],
    [2, '14:00'],
    [3, '17:00'],
    [4, '20:50'],
  ] as const) {
    w.at(`2031-06-12 ${at}`);
    await w.say('greta', `/pitch done number:${number}`);
  }
  expect(text(await w.say('mara', '/plan'))).not.toContain('Not as planned');
  w.at('2031-06-12 21:10');
  await w.say('mara', '/bivy settle pitch:4');
  const [first = ''] = text(await w.say('mara', '/plan')).split('\n');
  expect(first).toMatch(/^Not as planned: settled after pitch 4 21:10\. .*\/bivy plan$/u);
  await w.close();
});
