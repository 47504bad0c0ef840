/** Posts that can hardly be true, are asked back however they come: fixed, by the rope behind. */
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { openDemo, text, type World, world } from '../helpers/world.ts';
import { labels } from './ask.ts';

let w: World;
beforeEach(async () => {
  w = await world();
  await openDemo(w);
  await say('/trip depart');
});
afterEach(() => w.close());

async function say(line: string, time?: string): Promise<string> {
  if (time !== undefined) w.at(`2031-06-12 ${time}`);
  const reply = await w.say('mara', line);
  if (reply.refused) throw new Error(`${line}\n${text(reply)}`);
  return text(reply);
}
async function asked(line: string, time: string) {
  w.at(`2031-06-12 ${time}`);
  return w.say('mara', line);
}

it('a pitch fixed a minute after the one below was fixed', async () => {
  await say('/pitch done number:1', '07:30');
  await say('/pitch fixed number:2', '08:30');
  const reply = await asked('/pitch fixed number:3', '08:31');
  expect(reply.code).toBe('hardly-true');
  expect(text(reply)).toContain('Pitch 3 led in 1 min, 30 m? Pitch 2 was fixed at 08:30');
  expect(labels(reply)).toEqual(['Yes, 1 min', 'Another time']);
  expect(await say('/pitch fixed number:3', '09:10')).toMatch(/^Pitch 3 fixed at 09:10/);
});

it('is taken by the press, and undone by one', async () => {
  await say('/pitch done number:1', '07:30');
  await say('/pitch fixed number:2', '08:30');
  const before = (await w.trip()).state;
  await asked('/pitch fixed number:3', '08:31');
  expect(await say('[Yes, 1 min]')).toMatch(/^Pitch 3 fixed at 08:31/);
  const { pitches } = (await w.trip()).state;
  expect(pitches[2]?.fixed?.atMs).toBe(w.clock.wallMs());
  expect(pitches[3]).toMatchObject({ number: 4 });
  expect(pitches[3]?.fixed).toBeUndefined();
  await say('[Undo]');
  expect((await w.trip()).state.pitches).toEqual(before.pitches);
  await asked('/pitch fixed number:3', '08:31');
  expect(await say('[Another time] at:09:20', '09:30')).toMatch(/^Pitch 3 fixed at 09:20/);
});

describe('the rope behind', () => {
  it('is asked back when it is quicker than anybody', async () => {
    await say('/roster add name:Pål free:6c');
    await say('/lead order ropes:"Mara, Ines / Jonas, Pål"');
    await say('/pitch done number:1', '07:30');
    await say('/pitch done number:2', '08:30');
    await say('/pitch done rope:2', '08:40');
    const reply = await asked('/pitch done rope:2', '08:41');
    expect(reply.code).toBe('hardly-true');
    expect(text(reply)).toContain('Pitch 2 in 1 min, 42 m? Their pitch 1 was done at 08:40.');
    expect(await say('[Yes, 1 min]')).toMatch(/behind: pitch 2 done at 08:41/);
  });
});

it('the answer to a strike and to its undo names the amended time', async () => {
  await say('/pitch done number:1', '07:30');
  await say('/pitch amend number:1 at:07:20');
  expect(await say('/pitch strike number:1')).toMatch(/^Struck: pitch 1 done at 07:20/);
  expect(await say('[Undo]')).toMatch(/^Brought back: pitch 1 done at 07:20/);
});
