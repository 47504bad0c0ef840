import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { climb, topoutSaid } from '../app/forecast/said.ts';
import { instant, openDemo, text, type World, world, ZONE } from '../helpers/world.ts';

const DAY = '2031-06-12';
let w: World;
beforeEach(async () => {
  w = await world();
  await openDemo(w);
  await climb(w, DAY, [
    ['06:00', 'mara', '/trip depart'],
    ['07:30', 'greta', '/pitch done number:1'],
  ]);
});
afterEach(() => w.close());

const rains = async () => (await w.trip()).state.rains;
const at = (local: string) => instant(ZONE, local);

describe('rain', () => {
  it('is taken down with its hold from its end, and moves the top-out', async () => {
    const before = topoutSaid(await w.say('mara', '/topout'));
    w.at(`${DAY} 09:00`);
    const start = await w.say('greta', '/rain start at:-30m');
    expect(text(start)).toMatch(
      /^Raining since 08:30\. 24 h without climbing count from its end: \/rain stop\nTop-out (by )?(Fri|Sat) /,
    );
    w.at(`${DAY} 11:00`);
    const stop = await w.say('greta', '/rain stop');
    // 24 h: a local reading of the Saxon climbing rules §4.3, and the least of the published waits.
    expect(text(stop)).toContain(
      'Wet-rock hold until Fri 11:00: 24 h from the end of rain at 11:00.',
    );
    expect(topoutSaid(stop)).not.toBe(before);
    expect(await rains()).toEqual([{ fromMs: at(`${DAY} 08:30`), toMs: at(`${DAY} 11:00`) }]);
    for (const reply of [start, stop]) {
      expect(text(reply)).toContain('for other rock: /trip edit wet_hours:0');
      expect(text(reply)).toContain("The land manager's rule holds.");
    }
  });

  it('a later end never makes the top-out earlier', async () => {
    await climb(w, DAY, [['08:00', 'greta', '/rain start']]);
    const outs: number[] = [];
    for (const time of ['09:00', '10:00', '11:30', '13:00']) {
      await climb(w, DAY, [[time, 'greta', '/rain stop']]);
      const said = topoutSaid(await w.say('mara', '/topout'));
      const [, day, h, m] = /Top-out (\w{3}) (\d\d):(\d\d)/.exec(said) ?? [];
      outs.push((day === 'Sat' ? 1440 : 0) + Number(h) * 60 + Number(m));
      await w.say('greta', '[Undo]');
    }
    expect(outs).toEqual([...outs].sort((a, b) => a - b));
  });

  it('told wrong is mended: amended, or struck by Undo to exactly what was', async () => {
    await climb(w, DAY, [['08:00', 'greta', '/rain start']]);
    const raining = (await w.trip()).state;
    await climb(w, DAY, [['10:00', 'greta', '/rain stop']]);
    await w.say('greta', '[Change the time] at:09:15');
    expect(await rains()).toEqual([{ fromMs: at(`${DAY} 08:00`), toMs: at(`${DAY} 09:15`) }]);
    expect(text(await w.say('mara', '/rain show'))).toMatch(/^Wet-rock hold until Fri 09:15: /);
    const seq = (await w.trip()).state.entries.find((e) => e.event.kind === 'rain.stopped');
    await w.say('greta', `/pitch strike entry:${seq?.event.seq}`);
    expect(await rains()).toEqual(raining.rains);
    expect(text(await w.say('mara', '/rain show'))).toMatch(/^Raining since 08:00\./);
  });

  it('that contradicts what was told is refused, with why and what to do', async () => {
    const none = await w.say('greta', '/rain stop');
    expect(text(none)).toBe('No rain was told.\n/rain start, with at: for when it began.');
    await climb(w, DAY, [['09:00', 'greta', '/rain start']]);
    const before = (await w.trip()).state;
    const twice = await w.say('greta', '/rain start');
    expect(text(twice)).toBe('It is raining by the log already.\n/rain stop ends it.');
    const early = await w.say('greta', '/rain stop at:-1h');
    expect(text(early)).toMatch(/^The rain began at 09:00, so it can't have ended at 08:00\./);
    const ahead = await w.say('greta', '/rain stop at:+1h');
    expect(ahead.refused).toBe(true);
    expect((await w.trip()).state).toEqual(before);
    w.at(`${DAY} 11:00`);
    await w.say('greta', '/rain stop');
    const start = (await w.trip()).state.entries.find((e) => e.event.kind === 'rain.started');
    const struck = await w.say('greta', `/pitch strike entry:${start?.event.seq}`);
    expect(struck.refused).toBe(true);
  });

  it('holds by the party’s own hours, and not at all where it holds none', async () => {
    await climb(w, DAY, [
      ['08:00', 'greta', '/rain start'],
      ['09:00', 'greta', '/rain stop'],
      ['09:01', 'mara', '/trip edit wet_hours:48'],
    ]);
    expect(text(await w.say('mara', '/rain show'))).toMatch(
      /^Wet-rock hold until Sat 09:00: 48 h /,
    );
    expect(text(await w.say('mara', '/rain show'))).toContain('2 of these ask');
    await w.say('mara', '/trip edit wet_hours:0');
    await w.say('mara', '/trip pace party:efficient');
    expect(text(await w.say('mara', '/rain show'))).toMatch(/^No wet-rock hold is set\./);
    expect(topoutSaid(await w.say('mara', '/topout'))).toMatch(/^Top-out (by )?\d\d:/);
  });

  it('shown gives the advice with who gives it, and that none of it is safety', async () => {
    const said = text(await w.say('stray', '/rain show'));
    expect(said).toMatch(/^No wet-rock hold now\. It lasts 24 h from the end of rain\./);
    expect(said).toContain('Access Fund');
    expect(said).toContain('never a sign that the rock is safe');
  });

  it('over midnight and a clock change is still 24 hours', async () => {
    w.at('2031-03-29 12:00');
    const other = await w.say('greta', '/rain start');
    // Before the first post of the climb, but that is a matter of the log, not of the hold.
    expect(other.refused).toBeUndefined();
    w.at('2031-03-29 14:00');
    const stop = await w.say('greta', '/rain stop');
    expect(text(stop)).toContain(
      'Wet-rock hold until Sun 15:00: 24 h from the end of rain at 14:00.',
    );
  });
});
