/** Two ropes of two in one trip: who climbs with whom, both ropes' pitches, one forecast. */
import { afterEach, beforeEach, expect, it } from 'vitest';
import { runQuick } from '../../src/app/forecast/run.ts';
import { forecastInput } from '../../src/forecast/input.ts';
import { text, type World, world } from '../helpers/world.ts';

let w: World;
beforeEach(async () => {
  w = await world();
  w.file(
    'six.csv',
    `pitch,length_m,free\n${[1, 2, 3, 4, 5, 6].map((n) => `${n},35,6a`).join('\n')}\n`,
  );
  await say('/trip open name:"Harrow Tower" zone:Europe/Oslo lat:62.1 lon:6.9');
  await say('/topo load file:six.csv');
  for (const name of ['Mara', 'Jonas']) await say(`/roster add name:${name} free:6c`);
});
afterEach(() => w.close());

async function say(line: string): Promise<string> {
  const reply = await w.say('mara', line);
  if (reply.refused) throw new Error(`${line}\n${text(reply)}`);
  return text(reply);
}
const climbMin = async () => {
  const now = w.clock.wallMs();
  const input = forecastInput((await w.trip()).state, now);
  const { topout } = await runQuick(w.app, input);
  return (topout.q50 - now) / 60_000;
};

it('four climb as two ropes, a pitch longer than two; three take hardly longer', async () => {
  const two = await climbMin();
  await say('/roster add name:Ines free:6c');
  const three = await climbMin();
  await say('/roster add name:Pål free:6c');
  const four = await climbMin();
  // Three with both seconds climbing together are almost as fast as two (M. Volken, rockandice.com).
  expect(three - two).toBeLessThan(15);
  // A guide's plan gives 45 min for a pitched pitch (rockriverrun.blogspot.com, 2013/06): the rope
  // behind tops out about one pitch, less its changeover, after the first.
  expect(four - two).toBeGreaterThan(25);
  expect(four - two).toBeLessThan(65);
});

it('each rope has its own leads, and the one behind its own pitches', async () => {
  await say('/roster add name:Ines free:6c');
  await say('/roster add name:Pål free:6c');
  const said = await say('/lead order ropes:"Ines, Mara / Jonas, Pål"');
  expect(said).toContain('In front: Ines and Mara.');
  expect(said).toContain('Behind: Jonas and Pål. Next: 1 Jonas, 2 Pål, 3 Jonas, 4 Pål.');
  expect(said).toContain('Then it goes: 1 Mara, 2 Ines, 3 Mara');
  await say('/trip depart');
  w.at('2031-06-12 07:30');
  await say('/pitch done number:1 at:07:10');
  const early = await w.say('mara', '/pitch done rope:2 number:2');
  expect(text(early)).toContain('The rope in front has not done pitch 2 by then');
  expect(await say('/pitch done rope:2')).toMatch(
    /^Jonas and Pål, behind: pitch 1 done at 07:30\.\n5 to go/,
  );
  expect(await say('/trip show')).toContain('Behind, Jonas and Pål: pitch 1 done 07:30.');
  expect(await say('/lead plan')).toContain('Next: 2 Pål, 3 Jonas');
  // The first rope goes on as before.
  expect(await say('/lead next')).toContain('pitch 2');
});

it('says what can’t be: nobody on a rope, somebody on two, a rope that isn’t there', async () => {
  for (const ropes of ['Mara / ', 'Mara, Jonas / Mara', 'Mara Jonas']) {
    expect((await w.say('mara', `/lead order ropes:"${ropes}"`)).code).toBe('options-clash');
  }
  expect((await w.say('mara', '/pitch done rope:2')).code).toBe('nobody-there');
  await say('/lead order ropes:"Mara / Jonas"');
  await say('/lead order ropes:one');
  expect((await w.trip()).state.ropes).toEqual([]);
});
