/** Pitches that go free or on aid, semi-hanging stances, and ropes with how far they reach. */
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { forecastInput } from '../../src/forecast/input.ts';
import { openDemo, text, type World, world } from '../helpers/world.ts';
import { labels } from './ask.ts';

let w: World;
beforeEach(async () => {
  w = await world();
  await openDemo(w);
});
afterEach(() => w.close());

async function say(line: string): Promise<string> {
  const reply = await w.say('mara', line);
  if (reply.refused) throw new Error(`${line}\n${text(reply)}`);
  return text(reply);
}
const input = async () => forecastInput((await w.trip()).state, w.clock.wallMs());

describe('a pitch free or on aid', () => {
  // 7b (5.12a) or C1: as topos of free variations of aid lines have it. Common practice, no source.
  beforeEach(() => say('/topo edit number:1 free:"5.12a or C1"'));

  it('is told and shown as a choice', async () => {
    expect(await say('/topo edit number:1 note:"thin"')).toContain('5.12a or C1');
    w.file('either.csv', 'pitch,length_m,free,aid\n1,30,7b or C1,\n2,30,7b,or C2\n3,30,6a,A1\n');
    await say('/topo load file:either.csv');
    const { pitches } = (await w.trip()).state;
    expect(pitches.map((p) => [p.free?.text, p.aid?.text, p.either])).toEqual([
      ['7b', 'C1', true],
      ['7b', 'C2', true],
      ['6a', 'A1', undefined],
    ]);
  });

  it('is led as the leader’s ceilings say, and warns only of the style that is climbed', async () => {
    // Mara leads free to 6c and on aid to A2: the pitch goes on aid, and nothing is above her.
    const aided = await say('/lead next');
    expect(aided).toContain('Mara leads on aid');
    expect(aided).not.toContain('Warning');
    expect((await input()).pitches[0]).toMatchObject({ mode: 'aid', aidGrade: 1 });
    await say('/lead assign pitch:1 style:free');
    expect(await say('[Assign it]')).toContain('Pitch 1: Mara leads free.');
    const warned = await say('/lead next');
    expect(warned).toContain('Mara leads free');
    expect(warned).toContain('Warning: Mara leads to 6c');
    expect((await input()).pitches[0]).toMatchObject({ mode: 'free' });
  });

  it('goes free under somebody who leads that hard', async () => {
    await say('/roster edit who:Mara free:7b');
    expect(await say('/lead next')).toContain('Mara leads free');
    expect((await input()).pitches[0]).not.toHaveProperty('aidGrade');
  });

  it('is no choice where the topo leaves none', async () => {
    const reply = await w.say('mara', '/lead assign pitch:2 style:aid');
    expect(reply.code).toBe('nothing-to-change');
  });

  it('is led in the faster style by the fastest order', async () => {
    await say('/roster edit who:Mara free:7b aid:A2');
    // A1 at ease takes about twice the lead of a free pitch at its leader's limit.
    expect(await say('/lead order rule:fastest wishes:"Mara 1"')).toContain('1 Mara free');
    expect((await w.trip()).state.styles.get(1)).toBe('free');
  });
});

describe('stances and ropes', () => {
  it('a semi-hanging stance is one of three, and nobody is said to hang there', async () => {
    expect(await say('/topo edit number:2 stance:semi-hanging')).toContain('semi-hanging stance');
    expect((await input()).pitches[1]?.stance).toBe('ledge');
  });

  it('the ropes are told in one option, each with its length, unit or none', async () => {
    expect(await say('/trip edit ropes:"lead 60, haul 200ft tag none keep 5"')).toContain(
      'Lead line 60 m, 5 m kept back on a link. Haul line 61 m. No tag line.',
    );
    for (const [wrong, why] of [
      ['lead none', 'no lead line'],
      ['lead 500', "lead 500 m can't be right; 20 m to 120 m"],
      ['a long one', "isn't a rope with its length"],
    ]) {
      const reply = await w.say('mara', `/trip edit ropes:"${wrong}"`);
      expect([wrong, reply.refused, text(reply)]).toEqual([
        wrong,
        true,
        expect.stringContaining(why as string),
      ]);
    }
  });

  it('a rappel longer than the ropes reach is refused with the figure', async () => {
    await say('/trip depart');
    w.at('2031-06-12 12:00');
    await say('/retreat begin pitch:5');
    // Joined ropes reach as far as the shorter one, a single one half its length.
    await say('/trip edit ropes:"lead 70 haul 40"');
    const joined = await w.say('mara', '/retreat rappel station:4');
    expect(joined.refused).toBeUndefined();
    const far = await w.say('mara', '/retreat rappel station:3');
    expect(text(far)).toContain(
      'From stance 4 to stance 3 it is 45 m. Two ropes joined reach 40 m.',
    );
    await say('/trip edit ropes:"haul none tag none"');
    const single = await w.say('mara', '/retreat rappel station:3');
    expect(text(single)).toContain('One rope doubled reaches 35 m.');
    expect(labels(single)).toEqual(['At stance 3, by several rappels']);
    expect(await say('[At stance 3, by several rappels]')).toContain('At the stance after pitch 3');
  });
});
