/** Hours without a word: what is known and what is expected are both said, and nobody is asked for what can't be climbed. */
import { afterEach, beforeEach, expect, it } from 'vitest';
import { climb } from '../app/forecast/said.ts';
import { text, type World, world } from '../helpers/world.ts';
import { at, FRI, openTwoDays, SAT, THU, upTo } from './two-days.ts';

let w: World;
beforeEach(async () => {
  w = await world();
  await openTwoDays(w);
});
afterEach(() => w.close());
const topout = async () => text(await w.say('greta', '/topout'));

it('odds of the boat after four hours’ silence hold those before it', async () => {
  await upTo(w, 5);
  await climb(w, THU, [['20:00', 'greta', '/bivy settle']]);
  await climb(w, FRI, [
    ['11:00', 'greta', '/bivy leave'],
    ['12:30', 'greta', '/pitch done'],
  ]);
  const before = /Last boat 21:20: ([^.,;]+)/u.exec(await topout())?.[1];
  w.at(`${FRI} 17:30`);
  const silent = await topout();
  expect(silent).toContain('nothing heard since 12:30');
  expect(silent).not.toMatch(/21:20 is out of reach|21:20: no chance\./);
  // The same ascents as when something was heard last, but for what was learnt from the clock: nothing.
  expect(silent).toMatch(new RegExp(`Last boat 21:20: (.+ to )?${before}`, 'u'));
});

it('odds of the planned ledge hold those before the silence as well', async () => {
  await climb(w, '2031-06-11', [['19:30', 'mara', '/trip edit stop:13:00']]);
  await upTo(w, 2);
  const ledge = (reply: { lines: readonly unknown[] }) =>
    /there by 13:00: ([^.;]+)/u.exec(text(reply as never).replace(/\s+/gu, ' '))?.[1] ?? '';
  const before = ledge(await w.say('mara', '/topout'));
  expect(before).not.toBe('');
  w.at(`${THU} 12:00`);
  const after = ledge(await w.say('mara', '/topout'));
  expect(after).toContain(' to ');
  expect(after.endsWith(before), `${after} holds ${before}`).toBe(true);
});

it('a top-out that lies behind, with nobody told to be up, is said to be that, and nothing is all but sure', async () => {
  await upTo(w, 5);
  await climb(w, THU, [['20:40', 'greta', '/bivy settle until:06:00']]);
  await climb(w, FRI, [
    ['07:00', 'mara', '/bivy leave'],
    ['07:30', 'greta', '/pitch done'],
    ['08:00', 'greta', '/pitch done'],
    ['09:00', 'greta', '/pitch done'],
  ]);
  expect(await topout()).not.toContain('nobody said');
  w.at(`${FRI} 11:50`);
  const silent = (await topout()).replace(/\s+/gu, ' ');
  expect(silent).toMatch(
    /^Top-out [\d:]+ \(cautious [\d:]+\); that is past, and nobody said that they are up\./,
  );
  expect(silent).toContain('Last boat 21:20: 19 in 20');
  await climb(w, FRI, [['11:51', 'greta', '/pitch done at:09:50']]);
  expect(await topout()).not.toContain('nobody said');
});

it('what is likely by its odds is not called lost in the next line', async () => {
  await climb(w, '2031-06-11', [
    ['19:30', 'mara', '/bivy plan pitch:5 drop:yes'],
    ['19:31', 'mara', '/trip edit approach_min:40 start:06:00'],
  ]);
  await climb(w, THU, [
    ['05:10', 'mara', '/trip depart'],
    ['07:00', 'greta', '/pitch done'],
    ['07:50', 'greta', '/pitch done'],
  ]);
  for (const time of ['10:00', '11:00', '12:00', '13:00']) {
    w.at(`${THU} ${time}`);
    const silent = await topout();
    expect(silent, time).toMatch(/Last boat 21:20: (?:\d in \d to )?(?:4 in 5|9 in 10|19 in 20)/u);
    expect(silent, time).not.toContain('No cutoff ahead');
  }
});

it('a latest time leaves some minutes, whatever was heard last', async () => {
  await climb(w, THU, [
    ['06:30', 'mara', '/trip depart'],
    ['14:00', 'greta', '/pitch start'],
    ['15:30', 'greta', '/pitch done'],
    ['17:00', 'greta', '/pitch done'],
  ]);
  for (const time of ['17:30', '18:00', '18:30', '19:00', '20:00']) {
    w.at(`${THU} ${time}`);
    const [, day = '', clock] =
      /Be done with pitch \d by ((?:\w{3} )?)(\d\d:\d\d)/u.exec(await topout()) ?? [];
    if (clock === undefined || day !== '') continue;
    expect(at(`${THU} ${clock}`) - w.clock.wallMs(), time).toBeGreaterThanOrEqual(10 * 60_000);
  }
});

it('settled in rain that nobody told to have ended, they are not taken to have climbed on', async () => {
  await upTo(w, 5);
  await climb(w, THU, [
    ['20:00', 'greta', '/bivy settle until:05:00'],
    ['23:10', 'greta', '/rain start'],
  ]);
  w.at(`${SAT} 14:00`);
  const silent = await topout();
  expect(silent).not.toContain('If they go as expected');
  expect(silent).toContain('Raining since Thu 23:10, by the last word: as if it ended now,');
  // Once its end is told, the hold is kept, and they may have gone on after it.
  await climb(w, SAT, [['14:00', 'greta', '/rain stop at:"fri 01:00"']]);
  expect(await topout()).toContain('If they go as expected');
});
