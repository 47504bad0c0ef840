import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { openDemo, text, type World, world } from '../helpers/world.ts';

let w: World;
beforeEach(async () => {
  w = await world();
  await openDemo(w);
  await w.say('mara', '/trip edit ropes:"lead 70 haul 60"');
});
afterEach(() => w.close());

async function done(...pitches: readonly (readonly [number, string])[]): Promise<void> {
  for (const [number, at] of pitches) {
    w.at(`2031-06-12 ${at}`);
    const reply = await w.say('greta', `/pitch done number:${number}`);
    expect(reply.refused, text(reply)).toBeUndefined();
  }
}

describe('/retreat compare', () => {
  it('from where the party is: stations, ropes, times, and the last way back', async () => {
    await w.say('mara', '/trip depart');
    await done([1, '07:10'], [2, '08:30']);
    const answer = text(await w.say('mara', '/retreat compare'));
    // 42 + 38 = 80 m is more than 60 m: two rappels.
    expect(answer).toContain('From the stance after pitch 2: 2 rappels by 1, the longest 42 m');
    expect(answer).toContain('two ropes joined reach 60 m');
    // Two rappels of three people: 2 × (11 + 4) min; a spread of 0.35 makes that 46 nine times in ten.
    expect(answer).toContain('Begun now: on the ground 09:00 (cautious 09:16).');
    expect(answer).toContain('Above stance 5 there is no way down by rappel.');
    expect(answer).toContain('the party on the wall decides');
  });

  it('says where there is no way, why, and the last one; nothing can be begun then', async () => {
    const reply = await w.say('mara', '/retreat compare pitch:8');
    expect(text(reply)).toContain('No way down by rappel from');
    expect(text(reply)).toContain('the next is 103 m below');
    expect(text(reply)).toContain('The last stance with a way down by rappel is 5.');
    expect(reply.buttons ?? []).toEqual([]);
  });

  it('says a station that the topo says nothing of as not known, with the way to say it', async () => {
    w.file(
      'short.csv',
      'pitch,length_m,free,stance,bivy,rappel\n1,38,5c,ledge,none,\n2,42,6a,hanging,none,yes\n',
    );
    await w.say('mara', '/topo load file:short.csv');
    const answer = text(await w.say('mara', '/retreat compare pitch:2'));
    expect(answer).toContain('Not known whether one can rappel from 1');
    expect(answer).toContain('/topo edit number:1 rappel:yes');
  });

  it('leads to the retreat by one press, and follows it down', async () => {
    await w.say('mara', '/trip depart');
    await done([1, '07:10'], [2, '08:30']);
    await w.say('mara', '/retreat compare');
    await w.say('mara', '[Come down from here]');
    await w.say('mara', '/retreat rappel');
    const answer = text(await w.say('mara', '/retreat compare'));
    expect(answer).toContain('From the stance after pitch 1: 1 rappel, the longest 38 m');
  });

  it('on the ground, without a topo, and above it there is nothing to compare', async () => {
    expect((await w.say('mara', '/retreat compare')).code).toBe('nothing-left');
    expect((await w.say('mara', '/retreat compare pitch:9')).code).toBe('no-such-pitch');
  });
});
