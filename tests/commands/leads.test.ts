import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { openDemo, text, type World, world } from '../helpers/world.ts';

let w: World;
beforeEach(async () => {
  w = await world();
  await openDemo(w);
});
afterEach(() => w.close());

const say = async (who: string, line: string) => text(await w.say(who, line));
async function leaders(): Promise<string[]> {
  const reply = await w.say('mara', '/lead plan');
  return (reply.table?.rows ?? []).map((row) => row[3] as string);
}

describe('/lead next', () => {
  test('who, which pitch, its length and grade, how, who belays, and why', async () => {
    expect(await say('stray', '/lead next')).toBe(
      'Next: pitch 1, 38 m, 5c. Mara leads free, Jonas belays from the ground.\n' +
        'Swing order; first lead. Mara leads to 6c. Then: 2 Jonas, 3 Ines (6b A1), 4 Mara (A2).',
    );
    w.at('2031-06-12 09:00');
    await w.say('greta', '/pitch done number:1 at:07:00');
    await w.say('greta', '/pitch done number:2 at:08:00');
    expect(await say('mara', '/lead next')).toBe(
      'Next: pitch 3, 30 m, 6b A1. Ines leads on aid, Mara belays at a hanging stance.\n' +
        'Swing order; Jonas led 2. Ines leads to A3. Then: 4 Mara (A2), 5 Jonas, 6 Ines.',
    );
    await w.say('greta', '/pitch start');
    expect(await say('mara', '/lead next')).toMatch(/^Now: pitch 3/);
  });

  test('warns above the ceiling and names who could; a ceiling of another system is shown in both', async () => {
    await w.say('mara', '/lead order rule:list names:"Jonas"');
    await w.say('mara', '/roster edit who:Jonas free:5.8');
    expect(await say('mara', '/lead next')).toContain(
      'Warning: Jonas leads to 5.8 (5b), and this is harder. Mara or Ines could.',
    );
    await w.say('mara', '/roster edit who:Mara free:5a');
    await w.say('mara', '/roster edit who:Ines free:IV');
    expect(await say('mara', '/lead next')).toContain('Nobody on the roster leads that.');
  });

  test('a mixed pitch is above the ceiling that it is above', async () => {
    w.at('2031-06-12 09:00');
    for (const n of [1, 2]) await w.say('greta', `/pitch done number:${n} at:0${6 + n}:00`);
    await w.say('mara', '/roster edit who:Ines free:6a');
    expect(await say('mara', '/lead next')).toContain(
      'Warning: Ines leads to 6a, and this is harder. Mara could.',
    );
  });

  test('a link is one lead', async () => {
    await w.say('mara', '/lead link pitch:6');
    w.at('2031-06-12 12:00');
    for (const n of [1, 2, 3, 4, 5])
      await w.say('greta', `/pitch done number:${n} at:0${4 + n}:00`);
    expect(await say('mara', '/lead next')).toContain(
      'Next: pitches 6 and 7 linked, 63 m, 6b and 5b. Ines leads',
    );
  });

  test.each([
    ['no topo', async () => void (await w.say('mara', '/trip close')), '/trip open'],
    [
      'nobody climbs',
      async () => {
        for (const who of ['Mara', 'Jonas', 'Ines'])
          await w.say('mara', `/roster remove who:${who}`);
      },
      'Nobody climbs yet: /roster add.',
    ],
    [
      'all done',
      async () => {
        w.at('2031-06-12 20:00');
        for (let n = 1; n <= 8; n++)
          await w.say('greta', `/pitch done number:${n} at:${10 + n}:00`);
      },
      'All 8 pitches are done.',
    ],
  ])('%s', async (_, prepare, says) => {
    await prepare();
    expect(await say('mara', '/lead next')).toContain(says);
  });
});

describe('/lead plan', () => {
  test('shows the rotation and everybody’s share of pitches and metres', async () => {
    const reply = await w.say('mara', '/lead plan');
    expect(reply.table?.rows).toHaveLength(8);
    expect(await leaders()).toEqual([
      ...['Mara', 'Jonas', 'Ines', 'Mara', 'Jonas', 'Ines', 'Mara', 'Jonas'],
    ]);
    const said = text(reply);
    // 38 + 45 + 25, 42 + 35 + 40, 30 + 38 m of the topo.
    expect(said).toContain('Mara 3 pitches, 108 m.');
    expect(said).toContain('Jonas 3 pitches, 117 m.');
    expect(said).toContain('Ines 2 pitches, 68 m.');
    expect(said).toContain('Warning: 8 (6c) is harder than Jonas leads. Mara or Ines could.');
    expect(said).toContain('/lead assign pitch:8 leader:mara');
  });
});

describe('orders', () => {
  test('swing, block and list, each undone', async () => {
    await w.say('mara', '/lead order rule:block n:3');
    expect((await leaders()).slice(0, 4)).toEqual(['Mara', 'Mara', 'Mara', 'Jonas']);
    await w.say('mara', '/lead order rule:list names:"Ines, Ines, Mara"');
    expect((await leaders()).slice(0, 4)).toEqual(['Ines', 'Ines', 'Mara', 'Ines']);
    await w.say('mara', '/lead order rule:swing names:"Jonas Ines Mara"');
    expect((await leaders()).slice(0, 4)).toEqual(['Jonas', 'Ines', 'Mara', 'Jonas']);
    await w.say('mara', '[Undo]');
    expect((await leaders()).slice(0, 4)).toEqual(['Ines', 'Ines', 'Mara', 'Ines']);
  });

  test.each([
    ['/lead order rule:list', 'A list needs names'],
    ['/lead order rule:block', 'How many pitches a block?'],
    ['/lead order rule:swing names:"Mara, Mara"', 'Each climber once here'],
    ['/lead order rule:swing names:"Mara, Greta"', "Greta isn't among them."],
    ['/lead order rule:zigzag', 'rule: one of'],
    ['/lead order rule:block n:0', 'n: 1 or more'],
  ])('%s is refused: %s', async (line, says) => {
    const before = await leaders();
    expect(await say('mara', line)).toContain(says);
    expect(await leaders()).toEqual(before);
  });
});

describe('by hand', () => {
  test('a pitch is given away after a press, and put back', async () => {
    const shown = await w.say('mara', '/lead assign pitch:2 leader:ines');
    expect(text(shown)).toContain('Pitch 2: Ines leads (was Jonas).');
    expect((await leaders())[1]).toBe('Jonas');
    await w.say('mara', '[Assign it]');
    expect((await leaders()).slice(0, 4)).toEqual(['Mara', 'Ines', 'Jonas', 'Mara']);
    await w.say('mara', '/lead assign pitch:2 leader:none');
    await w.say('mara', '[Assign it]');
    expect((await leaders())[1]).toBe('Jonas');
  });

  test('two leads are swapped', async () => {
    await w.say('mara', '/lead swap a:2 b:3');
    await w.say('mara', '[Swap them]');
    expect((await leaders()).slice(0, 4)).toEqual(['Mara', 'Ines', 'Jonas', 'Mara']);
    expect(await say('mara', '/log show')).toContain(
      'pitches 2 and 3 swapped: Ines leads 2, Jonas leads 3',
    );
  });

  test.each([
    ['/lead assign pitch:1 leader:ines', 'Pitch 1 was done already.'],
    ['/lead assign pitch:9 leader:ines', 'There is no pitch 9; the topo has 8.'],
    ['/lead assign pitch:3 leader:none', 'Pitch 3 follows the rotation already.'],
    ['/lead assign pitch:7 leader:ines', 'Pitch 7 is linked with 6 and goes with it.'],
    ['/lead assign pitch:3 leader:Dana', "Dana isn't among them."],
    ['/lead swap a:2 b:2', 'That is one pitch; name two.'],
    ['/lead swap a:2 b:5', 'Jonas leads both, 2 and 5; nothing to swap.'],
    ['/lead swap a:1 b:5', 'Pitch 1 was done already.'],
  ])('%s is refused: %s', async (line, says) => {
    w.at('2031-06-12 08:00');
    await w.say('greta', '/pitch done number:1 at:07:00');
    await w.say('mara', '/lead link pitch:6');
    const reply = await w.say('mara', line);
    expect(text(reply)).toContain(says);
    expect(reply.refused).toBe(true);
  });
});

describe('links', () => {
  test('are refused when longer than the lead line less its margin, to the metre', async () => {
    expect(await say('mara', '/lead link pitch:1')).toContain(
      'Pitches 1 and 2 are 80 m together; the lead line of 70 m less its margin of 5 m gives 65 m.',
    );
    await w.say('mara', '/trip edit lead_line:85');
    expect(await say('mara', '/lead link pitch:1')).toContain('0 m of the lead line');
    expect(await say('mara', '/trip edit lead_line:84')).toContain(
      'Pitches 1 and 2 are 80 m together',
    );
    await w.say('mara', '/lead unlink pitch:1');
    expect(await say('mara', '/trip edit lead_line:84')).toContain('Lead line 84 m');
  });

  test('are refused when longer than the haul line that hauls a bag, with the figure', async () => {
    await w.say('mara', '/trip edit lead_line:90 haul_line:62 haul_bag:yes');
    expect(await say('mara', '/lead link pitch:6')).toContain(
      'Pitches 6 and 7 are 63 m together; the haul line is 62 m, too short for the bag.',
    );
    expect(await say('mara', '/trip edit haul_line:63')).toContain('Haul line 63 m.');
    expect((await w.say('mara', '/lead link pitch:6')).refused).toBeUndefined();
    expect(await say('mara', '/trip edit haul_line:60')).toContain('too short for the bag');
    await w.say('mara', '/trip edit haul_bag:no');
    expect(await say('mara', '/trip edit haul_line:60')).toContain('Haul line 60 m.');
  });

  test.each([
    ['/lead link pitch:6', 'Pitches 6 and 7 are linked already.'],
    ['/lead link pitch:7', 'Pitches 6 and 7 are one lead already; only two pitches go in one.'],
    ['/lead link pitch:5', 'To link 5 and 6 instead: /lead unlink pitch:6 first.'],
    ['/lead link pitch:8', 'There is no pitch 9 to link 8 with'],
    ['/lead unlink pitch:2', "Pitch 2 isn't linked with the next."],
  ])('%s is refused: %s', async (line, says) => {
    await w.say('mara', '/lead link pitch:6');
    expect(await say('mara', line)).toContain(says);
  });
});

describe('the party changes mid-route', () => {
  beforeEach(async () => {
    w.at('2031-06-12 09:00');
    await w.say('greta', '/pitch done number:1 at:07:00');
    await w.say('greta', '/pitch done number:2 at:08:00');
  });

  test('a joiner queues at the end; a leaver is passed over and what they led stays', async () => {
    await w.say('mara', '/roster add name:Pål free:7a');
    expect(await leaders()).toEqual([
      ...['Mara', 'Jonas', 'Ines', 'Mara', 'Pål', 'Jonas', 'Ines', 'Mara'],
    ]);
    await w.say('mara', '/roster remove who:Jonas reason:"twisted ankle"');
    expect(await leaders()).toEqual([
      ...['Mara', 'Jonas', 'Ines', 'Mara', 'Pål', 'Ines', 'Mara', 'Pål'],
    ]);
  });

  test('hurt: follows only, assignments go back, and becomes ground crew without losing what was led', async () => {
    await w.say('mara', '/lead assign pitch:6 leader:jonas');
    await w.say('mara', '[Assign it]');
    await w.say('mara', '/roster edit who:Jonas leads:no');
    expect(await leaders()).toEqual([
      ...['Mara', 'Jonas', 'Ines', 'Mara', 'Ines', 'Mara', 'Ines', 'Mara'],
    ]);
    expect(await say('mara', '/lead assign pitch:6 leader:jonas')).toContain(
      'Jonas follows only on this trip.',
    );
    const down = await w.say('mara', '/roster edit who:Jonas role:ground');
    expect(down.refused).toBeUndefined();
    expect((await w.trip()).state.pitches[1]?.done?.leader).toBe('jonas');
  });
});

test('what an order does to the top-out is a sentence of its own, not a part of the day’s', async () => {
  const said = await say('mara', '/lead assign pitch:4 leader:Ines');
  expect(said).toMatch(/\. That is (as before|(\d+ h )?\d+( min)? (earlier|later) than before)\./);
});
