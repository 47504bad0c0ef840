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
    // Where the party stands is rappelled from first of all.
    await w.say('mara', '/topo edit number:2 rappel:unknown');
    expect(text(await w.say('mara', '/retreat compare pitch:2'))).toContain(
      'Not known whether one can rappel from 2, 1',
    );
  });

  it('before they leave says how long it takes, and until when on the first day it ends in the light', async () => {
    // Oslo in October: dark by 18:10.
    await w.say('mara', '/trip edit lat:59.91 lon:10.75 first_day:2031-10-11');
    const answer = text(await w.say('mara', '/retreat compare pitch:2'));
    expect(answer).not.toContain('Begun now');
    // 2 × (11 + 4) min, and 46 in nine cases of ten.
    expect(answer).toContain('By daylight it takes 30 min (cautious 47 min).');
    expect(answer).toMatch(/Begun by Sat 11 Oct 1[78]:\d\d it is done in the light\./u);
  });

  it('begun at night, says that it is dark, here, in the note of a retreat, and in /decide', async () => {
    await w.say('mara', '/trip edit lat:59.91 lon:10.75 first_day:2031-10-11');
    w.at('2031-10-11 09:00');
    await w.say('mara', '/trip depart');
    w.at('2031-10-11 12:00');
    await w.say('mara', '/pitch done number:1');
    w.at('2031-10-11 20:00');
    const dark = /[Dd]ark until Sun 0[67]:\d\d\./u;
    const compared = text(await w.say('mara', '/retreat compare'));
    expect(compared).toMatch(dark);
    expect(compared).not.toMatch(/Dark Sun|in the light/u);
    const decided = await w.say('mara', '/decide');
    expect(text(decided)).toContain('in the dark.');
    expect(decided.table?.rows.find(([name]) => name === 'go by')?.[3]).toBe('any hour');
    const begun = text(await w.say('mara', '/retreat begin'));
    expect(begun).toMatch(dark);
    expect(begun).not.toContain('in the light');
  });

  it('who climb on two ropes have two lead lines', async () => {
    await w.say('mara', '/trip edit ropes:"lead 60"');
    const two = await w.say('mara', '/lead order rule:swing ropes:"Mara, Jonas / Ines"');
    expect(two.refused, text(two)).toBeUndefined();
    await w.say('mara', '/trip edit ropes:"lead 60 haul none tag none"');
    expect(text(await w.say('mara', '/retreat compare pitch:2'))).toContain(
      'two ropes joined reach 60 m.',
    );
  });

  it('says a traverse as a traverse, and a rappel that ends near the rope’s end', async () => {
    const set = await w.say('mara', '/topo edit number:6 rappel:traverse');
    expect(text(set)).toContain('traverse, no way back by rope');
    expect(text(await w.say('mara', '/retreat compare pitch:7'))).toContain(
      'pitch 6 is a traverse, and no rope goes back over it.',
    );
    await w.say('mara', '/topo edit number:1 length:59');
    await w.say('mara', '/trip edit ropes:"lead 60 haul 60"');
    expect(text(await w.say('mara', '/retreat compare pitch:1'))).toContain(
      'Near the rope’s end (60 m), knots not counted: 1 to the ground. Tie the ends.',
    );
  });

  /**
   * South Face, as a climber put it in 2012 (summitpost.com/south-face/additions-corrections/158870): pitches of 100, 75,
   * 100 and 100 ft; down by four rappels of 25 m, the last "a full 30 m", with one rope of 60 m.
   */
  describe('a published topo, worked out by hand', () => {
    const topo = (...lengths: string[]) =>
      `pitch,length,free,stance,rappel\n${lengths.map((l, i) => `${i + 1},${l},5.4,ledge,yes`).join('\n')}\n`;
    async function compared(file: string, ropes: string): Promise<string> {
      w.file('face.csv', file);
      await w.say('mara', '/topo load file:face.csv');
      await w.say('mara', `/trip edit ropes:"${ropes}"`);
      return text(await w.say('mara', '/retreat compare pitch:4'));
    }
    const FEET = topo('100 ft', '75 ft', '100 ft', '100 ft');
    const RAPPELS = topo('30 m', '25 m', '25 m', '25 m');

    it('by its rappels: four with one rope of 60 m, the last near its end; two with two', async () => {
      const one = await compared(RAPPELS, 'lead 60 haul none tag none');
      expect(one).toContain(
        '4 rappels by 3, 2, 1, the longest 30 m; one rope doubled reaches 30 m',
      );
      expect(one).toContain('Near the rope’s end (30 m), knots not counted: 1 to the ground.');
      // 25 + 25 = 50 m, 25 + 30 = 55 m.
      expect(await compared(RAPPELS, 'lead 60 haul 60 tag none')).toContain(
        '2 rappels by 2, the longest 55 m',
      );
    });

    it('by its pitches in feet: 100 ft is more than 30 m, four with one rope of 70 m, three with two of 60 m', async () => {
      // 100 ft is 30.48 m.
      expect(await compared(FEET, 'lead 60 haul none tag none')).toContain(
        'the next is a little more than 30 m below; one rope doubled reaches 30 m',
      );
      expect(await compared(FEET, 'lead 70 haul none tag none')).toContain(
        '4 rappels by 3, 2, 1, the longest 30 m',
      );
      // 200 ft is 60.96 m, too far; 175 ft is 53.3 m.
      expect(await compared(FEET, 'lead 60 haul 60 tag none')).toMatch(
        /3 rappels by 3, [12], the longest 53 m/u,
      );
    });
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
