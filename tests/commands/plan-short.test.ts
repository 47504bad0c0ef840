/** Reality leaves the plan: what was planned stays to be seen, what is left is laid out from what is true now. */
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { climb } from '../app/forecast/said.ts';
import { text, type World, world } from '../helpers/world.ts';
import { FRI, openTwoDays, SAT, THU, upTo } from './two-days.ts';

let w: World;
beforeEach(async () => {
  w = await world();
  await openTwoDays(w);
});
afterEach(() => w.close());

const plan = async () => text(await w.say('mara', '/plan')).split('\n');

describe('a night short of the planned one', () => {
  beforeEach(async () => {
    await upTo(w, 3);
    await climb(w, THU, [
      ['20:50', 'greta', '/pitch done'],
      ['21:10', 'mara', '/bivy settle pitch:4'],
    ]);
  });

  it('shows the day as it went and as it was planned, and the rest from there', async () => {
    const [first, thu, fri, ...rest] = await plan();
    expect(first).toBe(
      'Not as planned: the night after pitch 4, planned after 5. From here laid out anew; other nights: /bivy plan',
    );
    expect(thu).toBe(
      'Thu 12 Jun: pitches 1–4, done 20:50. Night after 4, settled 21:10 (planned after 5).',
    );
    expect(fri).toMatch(/^Fri 13 Jun: first move 07:00, pitches 5–9\. Top Fri .*, down Fri /);
    expect(rest.join()).not.toContain('the night after 5');
  });

  it('every answer follows it: nobody is asked to be at 5 for the night that has passed', async () => {
    w.at(`${FRI} 07:30`);
    await w.say('greta', '/bivy leave');
    for (const line of ['/topout', '/schedule set', '/board', '/plan']) {
      const answer = text(await w.say('greta', line));
      expect(answer, line).not.toMatch(/the night after (pitch )?5|Planned night after pitch 5/);
      expect(answer, line).not.toMatch(/Sat \d\d:\d\d \(cautious/);
    }
  });
});

it('a day on which nobody climbed moves the nights after it by a day', async () => {
  await w.say('mara', '/topo edit number:7 bivy:ledge');
  await w.say('mara', '/bivy plan pitch:7');
  await w.say('mara', '/trip edit wet_hours:0');
  await upTo(w, 5);
  await climb(w, THU, [['18:00', 'greta', '/bivy settle']]);
  await climb(w, FRI, [
    ['06:00', 'greta', '/rain start'],
    ['22:00', 'greta', '/rain stop'],
  ]);
  await climb(w, SAT, [['07:00', 'greta', '/bivy leave']]);
  const [first, thu, fri, sat, sun] = await plan();
  expect(first).toContain('Not as planned: the night after pitch 5, planned after 7.');
  expect(thu).toMatch(
    /^Thu 12 Jun: pitches 1–5, done Thu 12:00\. Night after 5, settled Thu 18:00\.$/,
  );
  expect(fri).toMatch(/^Fri 13 Jun: no pitch told\. Night after 5.* \(planned after 7\)\.$/);
  expect(sat).toMatch(/^Sat 14 Jun: .*pitches 6–7\. Night after 7: there /);
  expect(sun).toMatch(/^Sun 15 Jun: .*pitches 8–9\. Top Sun /);
});

it('a night on a day that was to end on top is shown with what was planned', async () => {
  await w.say('mara', '/bivy plan pitch:5 drop:yes');
  await upTo(w, 3);
  await climb(w, THU, [
    ['19:00', 'greta', '/pitch done number:4'],
    ['21:30', 'greta', '/pitch done number:5'],
  ]);
  const late = await plan();
  expect(late[0]).toMatch(
    /^Thu 12 Jun: .*pitches 1–5, done 21:30\. Night most likely after 5: .* \(planned none\)\.$/,
  );
  expect(late[1]).toMatch(/^Fri 13 Jun: first move 07:00, pitches 6–9\. Top Fri /);
  await w.say('greta', '/bivy settle');
  expect((await plan())[0]).toBe(
    'Not as planned: the night after pitch 5, planned none. From here laid out anew; other nights: /bivy plan',
  );
});

it('on in the dark to the ledge, and fixing a pitch above it, are in the plan as they were chosen', async () => {
  await upTo(w, 3);
  await climb(w, THU, [
    ['20:50', 'greta', '/pitch done'],
    ['20:51', 'greta', '[On in the dark]'],
  ]);
  expect((await plan())[0]).toMatch(/^Thu 12 Jun: .*, pitches 1–5\. Night after 5: there 2\d:/);
});
