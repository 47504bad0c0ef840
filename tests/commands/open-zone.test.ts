import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { renderReply } from '../../src/chat/discord/render.ts';
import { text, type World, world } from '../helpers/world.ts';
import { ask, labels, press } from './ask.ts';

let w: World;
beforeEach(async () => {
  w = await world();
});
afterEach(() => w.close());

const zone = async () => (await w.trip()).state.zone;

describe('the zone a trip is opened in', () => {
  test.each([
    ['zone:Oslo', 'Europe/Oslo'],
    ['zone:europe/oslo', 'Europe/Oslo'],
    ['zone:"são paulo"', 'America/Sao_Paulo'],
    ['zone:Kolkata', 'Asia/Kolkata'],
    ['lat:62.1 lon:6.9', 'Europe/Oslo'],
    // The coordinates decide what the abbreviation leaves open.
    ['zone:MST lat:33.4 lon:-112.1', 'America/Phoenix'],
  ])('%s is %s', async (typed, is) => {
    const reply = await w.say('mara', `/trip open name:Wall ${typed}`);
    expect(reply.refused).toBeUndefined();
    expect(text(reply)).toContain(`Wall time ${is}`);
    expect(await zone()).toBe(is);
  });

  test('that of the coordinates is said, with the way to another', async () => {
    const reply = await w.say('mara', '/trip open name:Wall lat:62.1 lon:6.9');
    expect(text(reply)).toContain(
      'Zone from the coordinates: Europe/Oslo. Another one: /trip close, then open it with zone:',
    );
  });

  test.each([
    ['MST', 'America/Phoenix'],
    ['cst', 'Asia/Shanghai'],
    ['IST', 'Europe/Dublin'],
    ['BST', 'Europe/London'],
    ['EST', 'America/Panama'],
  ])('%s is asked back, and pressing %s opens the trip as it was typed', async (typed, meant) => {
    const asked = await w.say('mara', `/trip open name:"Harrow Tower" zone:${typed} units:feet`);
    expect(asked.refused).toBe(true);
    expect(text(asked)).toContain(`${typed} may mean several zones: `);
    expect(labels(asked)).toContain(meant);
    expect(await w.store.openTripIn('local:main')).toBeUndefined();
    await w.say('mara', `[${meant}]`);
    expect((await w.trip()).state).toMatchObject({
      name: 'Harrow Tower',
      zone: meant,
      units: 'ft',
    });
  });

  test('near a border where clocks differ, the coordinates alone are asked back', async () => {
    const asked = await w.say('mara', '/trip open name:Wall lat:35.75 lon:76.2');
    expect(text(asked)).toContain('Near these coordinates clocks differ');
    expect(labels(asked)).toEqual(expect.arrayContaining(['Asia/Karachi', 'Asia/Urumqi']));
    await w.say('mara', '[Asia/Karachi]');
    expect((await w.trip()).state).toMatchObject({
      zone: 'Asia/Karachi',
      place: { lat: 35.75, lon: 76.2 },
    });
  });

  test('coordinates that lie elsewhere are pointed out, and the zone that was named stands', async () => {
    const reply = await w.say('mara', '/trip open name:Wall zone:Denver lat:37.7 lon:119.6');
    expect(text(reply)).toContain(
      'By the coordinates clocks there show another time (Asia/Shanghai)',
    );
    expect(await zone()).toBe('America/Denver');
  });

  test('without a name it is asked for, and nothing else again', async () => {
    const asked = await w.say('mara', '/trip open zone:Oslo lat:62.1 lon:6.9 emergency:112');
    expect(labels(asked)).toEqual(['Name it']);
    await w.say('mara', '[Name it] name:"Harrow Tower"');
    expect((await w.trip()).state).toMatchObject({
      name: 'Harrow Tower',
      zone: 'Europe/Oslo',
      place: { lat: 62.1, lon: 6.9 },
      emergencyNumber: '112',
    });
  });

  test('what is asked back fits a chat, however much was typed', async () => {
    const much = {
      name: 'x'.repeat(60),
      place: 'ø'.repeat(60),
      lat: -33.868_123_4,
      lon: -112.071_234_5,
      units: 'ft',
      confidence: 95,
      emergency: '9'.repeat(40),
    };
    for (const raw of [much, { name: 'Harrow Tower', units: 'ft', confidence: 95 }]) {
      for (const typed of ['MST', 'CST', 'cet', 'Europe', 'America', 'Kentucky']) {
        const asked = await ask(w, {}, 'trip open', { ...raw, zone: typed });
        const { messages, problems } = renderReply(asked, { nowMs: 0 });
        expect(problems).toEqual([]);
        expect(messages).toHaveLength(1);
      }
    }
    // Too much for a button: the names are there to be typed.
    const { place, ...some } = much;
    const asked = await ask(w, {}, 'trip open', { ...some, place, zone: 'CET' });
    expect(labels(asked)).toEqual([]);
    expect(text(asked)).toContain('zone:Europe/Berlin');
  });

  test('a press works where the answer was seen', async () => {
    const asked = await ask(w, {}, 'trip open', { name: 'Wall', zone: 'IST' });
    const opened = await press(w, {}, asked, 'Asia/Kolkata');
    expect(text(opened)).toContain('Wall time Asia/Kolkata');
  });
});
