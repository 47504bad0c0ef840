import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { text, type World, world } from '../helpers/world.ts';

/**
 * tz database, zone Europe/Oslo (rules of the EU): clocks go on from 02:00 to 03:00 at 01:00 UTC on
 * the last Sunday of March, 30 March 2031, and back from 03:00 to 02:00 at 01:00 UTC on the last
 * Sunday of October, 26 October 2031.
 */
let w: World;
beforeEach(async () => {
  w = await world();
  w.clock.set(Date.UTC(2031, 2, 1));
  await w.say('mara', '/trip open name:"Harrow Tower" zone:Europe/Oslo');
  w.file('t.csv', 'pitch,length_m\n1,30\n2,30\n3,30\n');
  await w.say('mara', '/topo load file:t.csv');
  await w.say('mara', '/roster add name:Mara');
  await w.say('mara', '/roster add name:Greta role:ground');
});
afterEach(() => w.close());

const first = (reply: Parameters<typeof text>[0]) => text(reply).split('\n')[0];
const utc = (month: number, day: number, hour: number, minute = 0) =>
  Date.UTC(2031, month - 1, day, hour, minute);
const doneMs = async (n: number) => (await w.trip()).state.pitches[n - 1]?.done?.atMs;

describe('clocks go on', () => {
  test('an hour by the wall clock is two on the rock’s: lengths are real time', async () => {
    w.clock.set(utc(3, 30, 2, 30));
    await w.say('greta', '/pitch start number:1 at:01:30');
    expect(first(await w.say('greta', '/pitch done number:1 at:03:30'))).toBe(
      'Pitch 1 done at 03:30 (told 04:30 by Greta): 1 h.',
    );
    expect(await doneMs(1)).toBe(utc(3, 30, 1, 30));
  });

  test('a time that the change leaves out is refused with its neighbours, which both work', async () => {
    w.clock.set(utc(3, 30, 2, 30));
    const reply = await w.say('greta', '/pitch done number:1 at:02:30');
    expect(text(reply)).toContain('There is no 02:30 on 30 Mar: the clocks change');
    expect(text(reply)).toContain('Write "2031-03-30 01:59" or "2031-03-30 03:00".');
    await w.say('greta', '/pitch done number:1 at:"2031-03-30 01:59"');
    await w.say('greta', '/pitch done number:2 at:"2031-03-30 03:00"');
    // A minute by the wall clock, and in truth: asked back before it is recorded.
    await w.say('greta', '[Yes, 1 min]');
    expect([await doneMs(1), await doneMs(2)]).toEqual([utc(3, 30, 0, 59), utc(3, 30, 1, 0)]);
  });

  test('“20 minutes ago” goes through the change', async () => {
    w.clock.set(utc(3, 30, 1, 10));
    expect(first(await w.say('greta', '/pitch done number:1 at:-20m'))).toContain(
      'at 01:50 (told 03:10',
    );
  });
});

describe('clocks go back', () => {
  test('of a doubled time the latest that has happened is taken, and the other can be named', async () => {
    w.clock.set(utc(10, 26, 2, 0));
    const reply = await w.say('greta', '/pitch done number:1 at:02:30');
    expect(first(reply)).toContain('Pitch 1 done at 02:30 +01:00');
    expect(await doneMs(1)).toBe(utc(10, 26, 1, 30));
    expect(text(reply)).toMatch(/02:30.*twice|comes twice|\+02:00/);
    await w.say('greta', '[Change the time] at:"02:30 +02:00"');
    expect(await doneMs(1)).toBe(utc(10, 26, 0, 30));
  });

  test('while it is still the first of the two, that one is meant', async () => {
    w.clock.set(utc(10, 26, 0, 45));
    await w.say('greta', '/pitch done number:1 at:02:30');
    expect(await doneMs(1)).toBe(utc(10, 26, 0, 30));
  });

  test('the wall clock may run backwards between two pitches; real time doesn’t', async () => {
    w.clock.set(utc(10, 26, 2, 0));
    await w.say('greta', '/pitch done number:1 at:"02:50 +02:00"');
    const reply = await w.say('greta', '/pitch done number:2 at:"02:10 +01:00"');
    expect(first(reply)).toContain(': 20 min.');
    const log = text(await w.say('mara', '/log show'));
    expect(log).toContain('pitch 1 done at 02:50 +02:00');
    expect(log).toContain('pitch 2 done at 02:10 +01:00');
  });
});

describe('midnight', () => {
  test('just after it, a time before it is yesterday’s', async () => {
    w.clock.set(utc(6, 12, 22, 20));
    expect(first(await w.say('greta', '/pitch done number:1 at:23:50'))).toBe(
      'Pitch 1 done at Thu 23:50 (told Fri 00:20 by Greta).',
    );
    expect(await doneMs(1)).toBe(utc(6, 12, 21, 50));
    expect(first(await w.say('greta', '/pitch done number:2 at:00:10'))).toContain('at 00:10');
  });

  test('a pitch over midnight is as long as it was', async () => {
    w.clock.set(utc(6, 12, 23, 0));
    await w.say('greta', '/pitch start number:1 at:"yesterday 23:10"');
    expect(first(await w.say('greta', '/pitch done number:1 at:00:40'))).toContain(': 1 h 30.');
  });
});
