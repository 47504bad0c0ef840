/** Two ropes of two in one trip: who climbs with whom, both ropes' pitches, one forecast. */
import { afterEach, beforeEach, expect, it } from 'vitest';
import { runQuick } from '../../src/app/forecast/run.ts';
import { forecastInput } from '../../src/forecast/input.ts';
import { modeOf } from '../../src/trip/mode.ts';
import { text, type World, world } from '../helpers/world.ts';
import { labels } from './ask.ts';

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

it('four of whom nobody told who climbs with whom take turns together, and none is named as behind', async () => {
  await say('/roster add name:Ines free:6c');
  await say('/roster add name:Pål free:6c');
  const plan = await say('/lead plan');
  expect(plan).toContain('Ines 1 pitch, 35 m.');
  expect(plan).not.toContain('Behind:');
  expect(plan).toContain(
    'Forecast as 2 ropes; nobody told who climbs with whom: /lead order ropes:',
  );
  expect(await say('/lead next')).not.toContain('Behind:');
  // A post of the rope behind says that they climb as two ropes.
  await say('/trip depart');
  w.at('2031-06-12 08:30');
  await say('/pitch done number:1 at:07:10');
  await say('/pitch done rope:2 at:08:00');
  const next = await say('/lead next');
  expect(next).toContain('Jonas leads free, Mara belays');
  expect(next).toContain('Then: 3 Mara, 4 Jonas');
  expect(next).toContain('Behind: pitch 2. Pål leads free, Ines belays');
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

it('two ropes of two from the ground to the top and down: nobody is on top before all are', async () => {
  for (const name of ['Ines', 'Pål']) await say(`/roster add name:${name} free:6c`);
  await say('/roster add name:Greta role:ground');
  await say('/trip edit descent:2h start:07:00');
  await say('/lead order ropes:"Mara, Jonas / Ines, Pål"');
  expect(await say('/lead plan')).toContain('Ines 3 pitches');
  await say('/schedule set');
  await say('/checkin plan topout:16:00 down:20:00 callout:23:00');
  const at = (time: string, line: string) => {
    w.at(`2031-06-12 ${time}`);
    return say(line);
  };
  const is = async () => {
    const { state } = await w.trip();
    return modeOf(state, w.clock.wallMs()).is;
  };
  await at('06:40', '/trip depart');
  await at('07:50', '/pitch done');
  await at('08:35', '/pitch done rope:2');
  await at('08:40', '/pitch done');
  expect(await at('08:43', '/lead next')).toContain('\nBehind: pitch 2. Pål leads free, Ines');
  for (const time of ['09:30', '10:25', '11:10']) await at(time, '/pitch done');
  await at('11:15', '/pitch done rope:2 number:4');

  // The rope in front is up; the party is not.
  const front = await at('11:58', '/pitch done');
  expect(front).toMatch(
    /^Pitch 6 done at 11:58: 48 min\.\n.*Top-out 1[23]:\d\d.*Behind: Ines and Pål, 2 to go\./u,
  );
  expect(front).not.toContain('On top');
  expect(await is()).toBe('climbing');
  expect(await at('12:00', '/help')).toContain('/pitch done rope:2');
  expect(await at('12:01', '/trip show')).toContain(
    'Mara and Jonas on top since 11:58. Behind, Ines and Pål: pitch 4 done 11:15.',
  );
  expect(await at('12:02', '/topout')).toMatch(/^Top-out (12:[45]|13:[01])\d \(cautious 1[34]:/);
  expect(await at('12:03', '/overdue sheet')).toContain('It was: Mara and Jonas reached the top');
  w.at('2031-06-12 12:19');
  const meant = await w.say('mara', '/pitch done');
  expect(labels(meant)).toEqual(['Theirs: 5 done']);
  expect((await w.say('mara', '/decide')).code).toBe('nothing-left');
  expect(text(await w.say('mara', '[Theirs: 5 done]'))).toMatch(
    /^Ines and Pål, behind: pitch 5 done at 12:19\.\nBehind by [^.]+\. Top-out 13:0\d/u,
  );

  // A strike puts the last rope back on the wall.
  const up = await at('12:55', '/pitch done rope:2');
  expect(up).toMatch(/On top\. Trailhead 14:5\d .*That was the last pitch\./);
  expect(await is()).toBe('going down');
  await say('[Undo]');
  expect(await is()).toBe('climbing');
  await at('12:57', '/pitch done rope:2 at:12:55');
  expect(await at('12:58', '/overdue sheet')).toContain(
    'It was: Ines and Pål reached the top as well, usual way down 2 h',
  );
  expect(await at('12:59', '/trip show')).toContain('Topped out 12:55; on the way down.');
  expect(await at('13:10', '/trip down reached:"left the top"')).toMatch(/^Left the top at 13:10/);
  await at('14:50', '/trip down');
  const back = await at('14:55', '/trip debrief');
  expect(back).toContain('top 12:55, down 14:50');
  expect(back).toContain('the last rope coming up 57 min');
  await w.tick();
  expect(w.told.filter((t) => /overdue|Nothing was heard/u.test(t.text))).toEqual([]);
});

it('a crew that posts one rope only is not kept on the wall for the other', async () => {
  for (const name of ['Ines', 'Pål']) await say(`/roster add name:${name} free:6c`);
  await say('/trip depart');
  for (const hour of ['07', '08', '09', '10', '11']) {
    w.at(`2031-06-12 ${hour}:10`);
    await say('/pitch done');
  }
  w.at('2031-06-12 12:10');
  expect(await say('/pitch done')).toContain('On top. Trailhead');
  expect(modeOf((await w.trip()).state, w.clock.wallMs()).is).toBe('going down');
});

/** Minutes from midnight of the first clock after those words; the next day's count on. */
const clockIn = (said: string, before: string): number => {
  const [, day = '', h, min] =
    new RegExp(`${before}(Fri )?(\\d\\d):(\\d\\d)`, 'u').exec(said) ?? [];
  return (day === '' ? 0 : 1440) + Number(h) * 60 + Number(min);
};

it('a rope many pitches behind is forecast by itself: all are up when it is', async () => {
  for (const name of ['Ines', 'Pål']) await say(`/roster add name:${name} free:6c`);
  await say('/trip edit descent:2h start:06:00');
  await say('/lead order ropes:"Mara, Jonas / Ines, Pål"');
  await say('/schedule set');
  const at = (time: string, line: string) => {
    w.at(`2031-06-12 ${time}`);
    return say(line);
  };
  await at('06:00', '/trip depart');
  for (const time of ['06:40', '07:20', '08:00', '08:40']) await at(time, '/pitch done');
  // Close behind they are one climb; at a pitch in two hours they are not.
  const theirs = await at('08:45', '/pitch done rope:2');
  expect(theirs).toMatch(
    /pitch 1 done at 08:45\.\nBehind by .*the last rope: pitch 1 done 08:45\./u,
  );
  const before = clockIn(theirs, 'Top-out ');
  expect(before).toBeGreaterThan(13 * 60);
  const front = await at('09:20', '/pitch done');
  expect(front).toContain('This is for Ines and Pål, the last rope: pitch 1 done 08:45.');
  expect(Math.abs(clockIn(front, 'Top-out ') - before)).toBeLessThan(20);
  const topout = await at('09:21', '/topout');
  // /decide begins their next pitch now, 36 min after their last word.
  const up = (await w.say('greta', '/decide')).table?.rows.find(([name]) => name === 'up')?.[1];
  const off = clockIn(`up ${up}`, 'up ') - clockIn(topout, 'Top-out ');
  expect(off).toBeGreaterThanOrEqual(0);
  expect(off).toBeLessThan(40);
  expect(await say('/schedule show')).toContain('the last rope');
  // As slow again, it is later, and nobody's word of the front brings it nearer.
  await at('10:00', '/pitch done');
  const later = await at('10:50', '/pitch done rope:2');
  expect(clockIn(later, 'Top-out ')).toBeGreaterThan(before);
  const wide = /Top-out .*?\(cautious (.*?)\)/u.exec(later)?.[1] ?? '';
  expect(clockIn(`x${wide}`, 'x') - clockIn(later, 'Top-out ')).toBeGreaterThan(60);
});

it('when the last rope is up the schedule counts from then', async () => {
  for (const name of ['Ines', 'Pål']) await say(`/roster add name:${name} free:6c`);
  await say('/lead order ropes:"Mara, Jonas / Ines, Pål"');
  await say('/schedule set');
  await say('/trip depart');
  for (const n of [7, 8, 9, 10, 11, 12]) {
    w.at(`2031-06-12 ${String(n).padStart(2, '0')}:30`);
    await say('/pitch done');
  }
  w.at('2031-06-12 20:00');
  await say('/pitch done rope:2 number:6');
  expect(await say('/topout')).toMatch(/Behind by \d h[^.]* at pitch 6/u);
});
