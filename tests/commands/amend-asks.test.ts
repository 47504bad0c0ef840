/** A mended post is asked back where the post itself would have been; what was told isn't lost. */
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { speaksOfTrouble } from '../../src/app/speaks-of-trouble.ts';
import { instant, openDemo, text, type World, world, ZONE } from '../helpers/world.ts';
import { labels } from './ask.ts';

let w: World;
beforeEach(async () => {
  w = await world();
  await openDemo(w);
  await say('/trip depart');
  w.at('2031-06-12 07:30');
  await say('/pitch done number:1');
  w.at('2031-06-12 08:30');
  await say('/pitch done number:2');
});
afterEach(() => w.close());

async function say(line: string): Promise<string> {
  const reply = await w.say('mara', line);
  if (reply.refused) throw new Error(`${line}\n${text(reply)}`);
  return text(reply);
}
const doneAt = async (n: number) => (await w.trip()).state.pitches[n - 1]?.done?.atMs;

describe('an amended time', () => {
  it('that makes a pitch quicker than anybody is, is asked back with one press', async () => {
    const before = await doneAt(2);
    const asked = await w.say('mara', '/pitch amend number:2 at:07:33');
    expect(asked.code).toBe('hardly-true');
    expect(text(asked)).toContain('Pitch 2 in 3 min, 42 m? That would be from 07:30 to 07:33.');
    expect(labels(asked)).toEqual(['Yes, 3 min', 'Another time']);
    expect(await doneAt(2)).toBe(before);
    expect(await say('[Yes, 3 min]')).toMatch(/^Amended: pitch 2 done/);
  });

  it('takes another time by the form', async () => {
    await w.say('mara', '/pitch amend number:2 at:07:33');
    expect(await say('[Another time] at:08:20')).toMatch(/^Amended: pitch 2 done.*08:20/);
  });

  it('inside the wet-rock hold is asked who said that the rock is dry', async () => {
    await say('/rain start at:07:40');
    await say('/rain stop at:07:50');
    w.at('2031-06-12 10:00');
    // Pitch 2 was told before anybody told of the rain; a minute later in the hold is nothing new.
    expect(await say('/pitch amend number:2 at:08:31')).toMatch(/^Amended/);
    const asked = await w.say('mara', '/pitch amend number:1 at:07:55');
    expect(asked.code).toBe('wet-rock');
    expect(labels(asked)).toEqual(['It was said to be dry']);
    expect(await say('[It was said to be dry] dry:"the warden by phone"')).toMatch(
      /^Amended: pitch 1 done/,
    );
    expect((await w.trip()).state.saidDry[0]?.said).toBe('the warden by phone');
  });
});

it('an amended number is asked in the rain, where another pitch was under way when it began', async () => {
  await say('/rain start at:08:30');
  w.at('2031-06-12 09:30');
  // Begun before the rain: whoever hangs there may finish it.
  await say('/pitch fixed number:3 at:08:50');
  const entry = (await w.trip()).state.seq;
  await say('/pitch done number:3 at:08:55');
  const asked = await w.say('mara', `/pitch amend entry:${entry} to:4 at:09:25`);
  expect(asked.code).toBe('wet-rock');
  expect(text(asked)).toContain('Pitch 4 is not recorded yet.');
  expect(labels(asked)).toEqual(['It was said to be dry', 'The rain ended at…']);
  expect((await w.trip()).state.pitches[3]?.fixed).toBeUndefined();
  expect(await say('[It was said to be dry] dry:"sheltered by the roof, Greta looked"')).toMatch(
    /^Amended: pitch 4 fixed at 09:25/,
  );
  const { state } = await w.trip();
  expect([state.pitches[2]?.fixed, state.pitches[3]?.fixed?.atMs]).toEqual([
    undefined,
    instant(ZONE, '2031-06-12 09:25'),
  ]);
  expect(state.saidDry.map((d) => d.said)).toEqual(['sheltered by the roof, Greta looked']);
});

it('a wait whose words were asked back keeps the time that was told', async () => {
  w.at('2031-06-12 10:00');
  const asked = await w.say('mara', '/pitch break wait:13:00 at:09:15 words:"Jonas feels sick"');
  expect(asked.code).toBe('sounds-like-trouble');
  expect(await say('[All are well]')).toContain('since 09:15 until 13:00');
});

it.each([
  ...[
    'SOS',
    's.o.s',
    'Mayday',
    'MAY DAY',
    'pan-pan',
    'arm broken',
    'she is unconscious',
    'collapsed',
  ],
  ...[
    'two injured',
    'rescuers needed',
    'a rock fall',
    'he can’t walk',
    'not breathing',
    'bein gebrochen',
  ],
  ...['ist bewusstlos', 'Abgestürzt', 'beinet er brukket', 'hun er bevisstløs', 'blør mye'],
])('“%s” speaks of trouble', (words) => {
  expect(speaksOfTrouble(words)).toBeDefined();
});

it.each([
  'all well',
  'skilled team',
  'breakfast at the ledge',
  'fallow field',
  'Lostwithiel',
  'dig in',
])('“%s” does not', (words) => {
  expect(speaksOfTrouble(words)).toBeUndefined();
});
