import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { climb, topoutSaid } from '../app/forecast/said.ts';
import { instant, openDemo, text, type World, world, ZONE } from '../helpers/world.ts';

const DAY = '2031-06-12';
let w: World;
beforeEach(async () => {
  w = await world();
  await openDemo(w);
  await climb(w, DAY, [['05:30', 'mara', '/trip edit haul_bag:yes descent_min:60']]);
});
afterEach(() => w.close());

const at = (local: string) => instant(ZONE, local);
const state = async () => (await w.trip()).state;
/** Four pitches done by the evening; after pitch 4 hang the portaledges. */
async function evening(): Promise<void> {
  await climb(w, DAY, [
    ['06:00', 'mara', '/trip depart'],
    ['06:10', 'greta', '/pitch start'],
    ['07:40', 'greta', '/pitch done'],
    ['09:30', 'greta', '/pitch done'],
    ['11:30', 'greta', '/pitch done'],
    ['18:00', 'greta', '/pitch done'],
  ]);
}

describe('a night planned', () => {
  it('is where there is room for the whole party, and says when they get there', async () => {
    const planned = await w.say('mara', '/bivy plan pitch:4');
    expect(text(planned)).toMatch(
      /^Night planned after pitch 4\.\nThere \d\d:\d\d \(cautious \d\d:\d\d\)\.\n/,
    );
    expect((await state()).bivyPlan).toEqual([4]);
    const dropped = await w.say('mara', '/bivy plan pitch:4 drop:yes');
    expect(text(dropped)).toContain('No night planned after pitch 4 any more.');
    expect((await state()).bivyPlan).toEqual([]);
  });

  it('is obeyed however early in the day it is reached', async () => {
    const early = text(await w.say('mara', '/bivy plan pitch:4'));
    expect(early).toMatch(/There (09|1[0-6]):\d\d /);
    expect(early).toMatch(/\nTop-out Fri /);
  });

  it('is no night on a portaledge nobody carries, and may be one on top', async () => {
    await w.say('mara', '/trip edit portaledge_places:0');
    expect(text(await w.say('mara', '/trip show'))).toContain('No portaledge carried.');
    const refused = await w.say('mara', '/bivy plan pitch:4');
    expect(refused.refused).toBe(true);
    expect(text(refused)).toContain('only a place for a portaledge, and you carry none');
    expect(text(refused)).toContain('There is room for you after 5.');
    await w.say('mara', '/trip edit portaledge_places:2');
    expect(text(await w.say('mara', '/bivy plan pitch:4'))).toContain(
      'yours has room for 2, and you are 3',
    );
    expect((await w.say('mara', '/bivy plan pitch:8')).refused).not.toBe(true);
    expect((await state()).bivyPlan).toEqual([8]);
  });

  it('makes the top-out the next day, and taking it back brings the old one back', async () => {
    await w.say('mara', '/trip edit start:11:00');
    const before = await w.say('mara', '/topout');
    await w.say('mara', '/bivy plan pitch:4');
    const planned = text(await w.say('mara', '/topout'));
    expect(planned).toMatch(/^Top-out Fri /);
    expect(planned).toMatch(/^Planned night after pitch 4, there by 21:00: /m);
    await w.say('mara', '[Undo]');
    expect((await w.say('mara', '/topout')).lines).toEqual(before.lines);
  });

  it('is refused where nobody can lie down, with where they can', async () => {
    const none = await w.say('mara', '/bivy plan pitch:3');
    expect([none.refused, text(none)]).toEqual([
      true,
      'After pitch 3 there is no place to sleep, by the topo.\n' +
        'There is room for you after 4, 5.\n' +
        'If the topo is wrong: /topo edit number:3 bivy:',
    ]);
    await w.say('mara', '/roster add name:Bo');
    await w.say('mara', '/roster add name:Lin');
    const five = await w.say('mara', '/bivy plan pitch:5');
    expect(text(five)).toContain('After pitch 5 there is room for 4, and you are 5, by the topo.');
    expect(text(await w.say('mara', '/bivy plan pitch:9'))).toBe(
      'There is no pitch 9; the topo has 8.',
    );
    expect(text(await w.say('mara', '/bivy plan pitch:4 drop:yes'))).toBe(
      'No night is planned after pitch 4.',
    );
  });
});

describe('a night begun', () => {
  it('keeps the forecast still until morning, over midnight', async () => {
    await evening();
    w.at(`${DAY} 20:00`);
    const settled = await w.say('mara', '/bivy settle until:05:30');
    expect(text(settled)).toMatch(
      /^Settled after pitch 4 at 20:00, until Fri 05:30\.\nTop-out Fri .*\nIn the morning: \/bivy leave$/,
    );
    const [night] = (await state()).nights;
    expect(night).toEqual({
      pitch: 4,
      sinceMs: at('2031-06-12 20:00'),
      untilMs: at('2031-06-13 05:30'),
    });
    const said: string[] = [];
    for (const time of ['2031-06-12 20:01', '2031-06-12 23:59', '2031-06-13 01:00']) {
      w.at(time);
      said.push(topoutSaid(await w.say('mara', '/topout')).replaceAll('Fri ', ''));
    }
    expect(new Set(said).size).toBe(1);
    // Up and gone, nobody was hanging there all night.
    w.at('2031-06-13 05:40');
    expect(text(await w.say('mara', '/topout'))).not.toMatch(/hangs about .* after pitch 4/);
    await w.say('mara', '/bivy leave');
    expect(text(await w.say('mara', '/topout'))).not.toMatch(/hangs about \d\d h/);
  });

  it('costs no pace: the pitch after it is taken from the morning on', async () => {
    await evening();
    await climb(w, DAY, [['20:00', 'mara', '/bivy settle']]);
    await climb(w, '2031-06-13', [['06:00', 'mara', '/bivy leave']]);
    const factor = async () =>
      Number(/party ([\d.]+) /.exec(text(await w.say('mara', '/topout details:yes')))?.[1]);
    const before = await factor();
    await climb(w, '2031-06-13', [['07:10', 'greta', '/pitch done number:5']]);
    const after = await factor();
    expect(Math.abs(Math.log(after / before))).toBeLessThan(0.2);
  });

  it('where the topo has no room is taken down and pointed out', async () => {
    await climb(w, DAY, [
      ['06:00', 'mara', '/trip depart'],
      ['08:00', 'greta', '/pitch done number:1'],
      ['10:00', 'greta', '/pitch done number:2'],
    ]);
    w.at(`${DAY} 20:00`);
    const reply = await w.say('mara', '/bivy settle');
    expect(reply.refused).toBeUndefined();
    expect(text(reply)).toContain('By the topo there is no place to sleep there.');
  });

  it('can be on the ground, or on a ledge further down, but not above the party', async () => {
    const ground = await w.say('mara', '/bivy settle');
    expect(text(ground)).toMatch(/^Settled on the ground at 05:30\./);
    await climb(w, DAY, [['05:50', 'mara', '/bivy leave']]);
    await evening();
    w.at(`${DAY} 19:00`);
    const above = await w.say('mara', '/bivy settle pitch:5');
    expect([above.refused, text(above)]).toEqual([
      true,
      "Pitch 5 isn't done yet, so nobody can sleep above it.\nIf it is: /pitch done number:5",
    ]);
    expect(text(await w.say('mara', '/bivy settle pitch:9'))).toContain('There is no pitch 9');
    expect(text(await w.say('mara', '/bivy settle pitch:1'))).toMatch(/^Settled after pitch 1 /);
  });

  it('twice, or left before it began, is refused and changes nothing', async () => {
    await evening();
    await climb(w, DAY, [['20:00', 'mara', '/bivy settle']]);
    const before = await state();
    const twice = await w.say('mara', '/bivy settle');
    expect(text(twice)).toBe('You are settled already.\n/bivy leave ends the night.');
    const early = await w.say('mara', '/bivy leave at:-30m');
    expect(text(early)).toMatch(/^You settled at 20:00, so you can't have left at 19:30\./);
    expect(await state()).toEqual(before);
    await climb(w, '2031-06-13', [['06:00', 'mara', '/bivy leave']]);
    expect(text(await w.say('mara', '/bivy leave'))).toBe(
      'No night is under way.\n/bivy settle begins one.',
    );
  });

  it('struck while it is over takes its end with it or not at all', async () => {
    await evening();
    await climb(w, DAY, [['20:00', 'mara', '/bivy settle']]);
    const seq = (await state()).seq;
    await climb(w, '2031-06-13', [['06:00', 'mara', '/bivy leave']]);
    const refused = await w.say('mara', `/pitch strike entry:${seq}`);
    expect([refused.refused, text(refused)]).toEqual([
      true,
      expect.stringContaining('later posts stand on it'),
    ]);
    const both = await w.say('mara', `/pitch strike entry:${seq + 1}`);
    expect(both.refused).toBeUndefined();
    await w.say('mara', `/pitch strike entry:${seq}`);
    expect((await state()).nights).toEqual([]);
  });
});

describe('nights over a clock change', () => {
  it('end by the wall’s clock', async () => {
    // The last Sunday of March 2031 is the 30th: 01:00 UTC, 02:00 becomes 03:00.
    w.at('2031-03-29 20:00');
    await w.say('mara', '/bivy settle until:05:30');
    const [night] = (await state()).nights;
    expect((night?.untilMs ?? 0) - (night?.sinceMs ?? 0)).toBe(8.5 * 3_600_000);
    const gap = await w.say('mara', '/bivy leave at:02:30');
    expect(gap.refused).toBe(true);
    w.at('2031-03-30 07:00');
    const left = await w.say('mara', '/bivy leave at:05:30');
    expect(text(left)).toMatch(/^Up at 05:30\./);
    expect((await state()).nights[0]?.leftMs).toBe(at('2031-03-30 05:30'));
  });
});
