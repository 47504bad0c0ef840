import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { daysWords } from '../../src/app/words/days.ts';
import { climb } from '../app/forecast/said.ts';
import { openDemo, TOPO, text, type World, world } from '../helpers/world.ts';

let w: World;
beforeEach(async () => {
  w = await world();
  await openDemo(w);
});
afterEach(() => w.close());

/** The first four pitches, each by the same stretch, then down and closed. */
async function train(minutes: number): Promise<void> {
  const at = (n: number) => {
    const min = 8 * 60 + n * minutes;
    return `${String(Math.floor(min / 60)).padStart(2, '0')}:${String(min % 60).padStart(2, '0')}`;
  };
  await climb(w, '2031-06-12', [
    ['07:50', 'mara', '/trip depart'],
    ['08:00', 'mara', '/pitch start'],
    ...[1, 2, 3, 4].map((n): [string, string, string] => [at(n), 'mara', '/pitch done']),
    [at(5), 'mara', '/trip down'],
  ]);
  const closed = await w.say('mara', '/trip close');
  if (closed.refused) await w.say('mara', '[Close all the same]');
  expect((await w.trip()).row.status).toBe('closed');
}

const OPEN = '/trip open name:"Long Wall" zone:Europe/Oslo lat:62.1 lon:6.9';

async function ready(line: string): Promise<void> {
  w.at('2031-06-20 18:00');
  const opened = await w.say('mara', line);
  expect(opened.refused, text(opened)).toBeUndefined();
  for (const name of ['Mara', 'Jonas', 'Ines']) {
    await w.say('mara', `/roster add name:${name} free:6c aid:A2`);
  }
  await w.say('mara', '/topo load file:harrow.csv');
}

const believed = async () => {
  const said = text(await w.say('mara', '/trip pace'));
  const [, factor, low, high] =
    /Believed, times the figures: ([\d.]+) \(([\d.]+) to ([\d.]+)\)/.exec(said) ?? [];
  return { said, factor: Number(factor), low: Number(low), high: Number(high) };
};

describe('the pace of a closed trip', () => {
  it('is where the next begins, widened, with its origin shown', async () => {
    await train(140);
    await ready(OPEN);
    const blank = await believed();
    await w.say('mara', '/trip close');
    await ready(`${OPEN} pace_from:"Harrow Tower"`);
    const taken = await believed();
    expect(taken.said).toMatch(
      /Pace taken from Harrow Tower: party [\d.]+ \([\d.]+ to [\d.]+\) from 4 told, and that of Mara, Jonas, Ines\. Widened/,
    );
    expect(taken.said).not.toContain('/trip pace party:average');
    // Slow there, slower than anybody here, but not as sure as if it were this wall.
    expect(taken.factor).toBeGreaterThan(1.2 * blank.factor);
    expect(taken.high / taken.low).toBeLessThan(blank.high / blank.low);
    const [, low, high] = /party [\d.]+ \(([\d.]+) to ([\d.]+)\)/.exec(taken.said) ?? [];
    expect(taken.high / taken.low).toBeGreaterThan(Number(high) / Number(low));
    const { state } = await w.trip();
    expect(state.takenPace?.leaders.map((l) => l.name)).toEqual(['Mara', 'Jonas', 'Ines']);
  });

  it('can be taken later too, undone, and is left out of what strangers read', async () => {
    await train(140);
    await ready(OPEN);
    const before = (await believed()).factor;
    const reply = await w.say('mara', '/trip pace from:harrow');
    expect(text(reply)).toMatch(/^Pace taken from Harrow Tower: .*\nTop-out /);
    expect(reply.private).toBe(true);
    expect(text(await w.say('bo', '/log show'))).not.toContain('pace taken from');
    expect(text(await w.say('mara', '/log show'))).toContain('pace taken from Harrow Tower');
    await w.say('mara', '[Undo]');
    expect((await believed()).factor).toBe(before);
  });

  it('is only for who climbed or helped there, or opened it', async () => {
    await train(60);
    w.at('2031-06-20 18:00');
    for (const who of ['dana', 'bo']) {
      const refused = await w.say(who, `${OPEN} pace_from:"Harrow Tower"`);
      expect([who, refused.refused, text(refused)]).toEqual([
        who,
        true,
        expect.stringMatching(/^There is no closed trip Harrow Tower here that you took part in\./),
      ]);
    }
    const crew = await w.say('greta', `${OPEN} pace_from:"Harrow Tower"`);
    expect(crew.refused).toBeUndefined();
  });

  it('is not there before it is closed, nor where nothing was told', async () => {
    const open = await w.say('mara', '/trip pace from:"Harrow Tower"');
    expect([open.refused, text(open)]).toEqual([
      true,
      expect.stringMatching(/took part in\.\nA pace is taken only from closed trips/),
    ]);
    await w.say('mara', '/trip close');
    w.at('2031-06-20 18:00');
    const blank = await w.say('mara', `${OPEN} pace_from:"Harrow Tower"`);
    expect(text(blank)).toMatch(/^Nothing was told on Harrow Tower that teaches a pace\./);
  });
});

describe('days and nights', () => {
  it('of a topo at the party’s pace are in the plan before the start, with a night planned or not', async () => {
    const free = text(await w.say('mara', '/plan'));
    const [, said] = /At this pace, with no night planned: (.*)\./.exec(free) ?? [];
    expect(said).toMatch(/^(one day, no night|\d days, \d nights?)/);
    await w.say('mara', '/bivy plan pitch:5');
    expect(text(await w.say('mara', '/plan'))).toContain(`with no night planned: ${said}.`);
    await climb(w, '2031-06-12', [
      ['06:20', 'mara', '/trip depart'],
      ['06:30', 'mara', '/pitch start'],
    ]);
    expect(text(await w.say('mara', '/plan'))).not.toContain('with no night planned');
  });

  it('of a bigger wall are in the debrief of a training wall: slow climbers need more', async () => {
    const rows = TOPO.trim().split('\n');
    const [head, ...pitches] = rows as [string, ...string[]];
    const long = [...pitches, ...pitches, ...pitches].map((row, i) =>
      row.replace(/^\d+/, String(i + 1)),
    );
    w.file('long.csv', [head, ...long].join('\n'));
    await train(140);
    const told = text(await w.say('mara', '/trip debrief topo:long.csv'));
    expect(told).toMatch(
      /24 pitches of long\.csv at this pace, widened: [3-6] days, [2-5] nights[^\n]*\.\nTo plan it with this pace: \/trip open pace_from:"Harrow Tower"/,
    );
    expect((await w.trip()).state.pitches).toHaveLength(8);
    expect(text(await w.say('mara', '/trip debrief'))).not.toContain('at this pace');
    w.file('wrong.csv', 'pitch\n1');
    expect((await w.say('mara', '/trip debrief topo:wrong.csv')).refused).toBe(true);
  });

  it('are said with the odds of fewer and of more', () => {
    const state = { pitches: Array.from({ length: 31 }, () => ({})) as never };
    const said = (nights: number[], unfinished = 0) => daysWords(state, { nights, unfinished });
    expect(said([0, 0, 0.2, 0.6, 0.2])).toBe(
      '4 days, 3 nights; 3 days or fewer: 1 in 5; more than 4: 1 in 5',
    );
    expect(said([1])).toBe('one day, no night');
    expect(said([0.25, 0.74, 0.01])).toBe('2 days, 1 night; in one day: 1 in 4');
    expect(said([0.6, 0.4])).toBe('one day, no night; a night or more: 1 in 2');
    expect(said([0, 0.3], 0.7)).toBe('longer than a week as often as not');
  });
});
