/** Trips played from top to bottom by their crews: begun at pitch 6, full of slips, bailed from after rain in the night, one of three hurt. */
import { afterEach, beforeEach, expect, it } from 'vitest';
import { openDemo, text, type World, world } from '../helpers/world.ts';
import { labels } from './ask.ts';
import { FRI, openTwoDays, THU, upTo } from './two-days.ts';

let w: World;
beforeEach(async () => {
  w = await world();
});
afterEach(() => w.close());

/** `['14:00', 'greta', '/pitch done']`: the answer, refused or not. */
async function at(day: string, time: string, who: string, line: string) {
  w.at(`${day} ${time}`);
  return w.say(who, line);
}
const state = async () => (await w.trip()).state;

it('a crew that starts at pitch 6 invents no times of those below', async () => {
  await openDemo(w);
  const asked = await at(THU, '14:00', 'greta', '/pitch done number:6');
  expect(asked.refused).toBe(true);
  expect(labels(asked)).toEqual([
    '1–5 as well, same time',
    '1–5 as well, times not known',
    'I meant 1',
  ]);
  const told = await at(THU, '14:01', 'greta', '[1–5 as well, times not known]');
  expect(text(told)).toMatch(/^Pitches 1–5 done, times not known, and pitch 6 done at 14:00/);
  expect(text(told)).toContain('nobody is watching the clock: /trip depart');
  expect(text(await at(THU, '14:02', 'greta', '/trip depart at:05:30'))).toContain(
    'Departed at 05:30',
  );
  const topout = text(await at(THU, '14:03', 'greta', '/topout'));
  expect(topout).toContain('No climbing time told yet: wide.');
  expect(text(await at(THU, '14:04', 'mara', '/plan'))).not.toContain('done 14:00');
  // The first time that is known is the first that anything is learnt from.
  expect(text(await at(THU, '15:20', 'greta', '/pitch done'))).toMatch(
    /^Pitch 7 done at 15:20: 1 h 20\./,
  );
  expect(text(await at(THU, '15:21', 'greta', '/topout'))).not.toContain('wide.');
  const { pitches } = await state();
  expect(pitches.slice(0, 5).every((p) => p.done?.timeUnknown)).toBe(true);
});

it('a crew full of slips is asked back, and what it tells stays true', async () => {
  await openDemo(w);
  await at(THU, '06:30', 'mara', '/trip depart');
  await at(THU, '07:30', 'greta', '/pitch done');
  const slips: readonly (readonly [string, string, string, RegExp, (readonly string[])?])[] = [
    [
      '07:34',
      'jonas',
      '/pitch done',
      /^Pitch 2 in 4 min, 42 m\?/,
      ['Yes, 4 min', 'I meant 1, at 07:34', 'Another time'],
    ],
    [
      '08:20',
      'greta',
      '/pitch done number:7',
      /^Pitches 2–6 aren't done yet/,
      ['2–6 as well, same time', '2–6 as well, times not known', 'I meant 2'],
    ],
    ['08:21', 'greta', '/pitch done at:25:10', /^No clock shows that time/],
    ['08:22', 'greta', '/pitch done leader:Jonnas', /^Jonnas isn't among them/],
    [
      '08:23',
      'greta',
      '/pitch done at:"quarter past eight"',
      /^Can't read "quarter past eight" as a time/,
    ],
    [
      '08:24',
      'greta',
      '/trip down',
      /Is everyone off the\s+wall and safe\?/,
      ['Yes, everyone is down', 'I meant pitch 2 done'],
    ],
    ['08:25', 'greta', '/bivy settle pitch:5', /^Pitch 5 isn't done yet/],
    ['08:26', 'greta', '/pitch amend number:1 at:06:10', /departed|Departed|06:30/],
  ];
  for (const [time, who, line, answer, buttons] of slips) {
    const reply = await at(THU, time, who, line);
    expect(reply.refused, line).toBe(true);
    expect(text(reply), line).toMatch(answer);
    if (buttons !== undefined) expect(labels(reply), line).toEqual(buttons);
  }
  const before = await state();
  expect(before.pitches.map((p) => p.done !== undefined)).toEqual([
    true,
    ...new Array(7).fill(false),
  ]);
  expect(before.downAtMs).toBeUndefined();
  // Odd but clear is taken: a point for a colon, and the word for the pitch below.
  expect(text(await at(THU, '08:30', 'greta', '/pitch done number:2 at:8.15'))).toMatch(
    /^Pitch 2 done at 08:15/,
  );
});

it('a bail after rain in the night, rappel by rappel, until everyone is down', async () => {
  await openTwoDays(w);
  await w.say('mara', '/checkin plan down:"fri 20:00" callout:"fri 23:00"');
  await upTo(w, 5);
  const play = async (day: string, time: string, who: string, line: string) => {
    const reply = await at(day, time, who, line);
    expect(reply.refused, `${line}\n${text(reply)}`).not.toBe(true);
    return text(reply);
  };
  await play(THU, '20:30', 'greta', '/bivy settle');
  await play(FRI, '02:00', 'mara', '/rain start');
  const wet = await play(FRI, '05:30', 'mara', '/rain stop');
  expect(wet).toMatch(/05:30/);
  const ways = await play(FRI, '06:00', 'mara', '/decide');
  expect(ways).toMatch(/The rock is held wet until Sat 05:30/);
  expect(ways).toMatch(/Down: 5 rappels, on the ground \d\d:\d\d\./u);
  expect(await play(FRI, '06:10', 'mara', '[Down]')).toMatch(
    /^Coming down from the stance after pitch 5 since 06:10/,
  );
  for (const line of ['/topout', '/plan']) {
    expect(await play(FRI, '06:15', 'greta', line)).toMatch(
      /^Coming down: no top-out is projected/,
    );
  }
  for (const time of ['06:40', '07:10', '07:40', '08:10', '08:40']) {
    await play(FRI, time, 'greta', '/retreat rappel');
  }
  expect((await w.say('greta', '/trip show')).refused).not.toBe(true);
  expect(await play(FRI, '10:00', 'greta', '/trip down')).toMatch(/^Everyone down at 10:00/);
  await w.tick();
  expect(w.told.filter((t) => /overdue|Nothing was heard|No word/u.test(t.text))).toEqual([]);
  expect(w.told.findLast((t) => t.to === 'Dana')?.text).toMatch(/down|off the wall/i);
});

it('three with one hurt: called at once, ended only by who knows, nobody said to be well', async () => {
  await openTwoDays(w);
  await w.say('mara', '/checkin plan nightly:21:30 down:"fri 18:00" callout:"fri 22:00"');
  await upTo(w, 3);
  const play = async (time: string, who: string, line: string) => {
    const reply = await at(THU, time, who, line);
    expect(reply.refused, `${line}\n${text(reply)}`).not.toBe(true);
    await w.tick();
    return text(reply);
  };
  const toDana = () => w.told.filter((t) => t.to === 'Dana').map((t) => t.text);
  await w.tick();
  const before = toDana().length;
  await play(
    '10:30',
    'jonas',
    '/trouble report who:Ines what:"fell, ankle broken" where:"above stance 3" wants:callout',
  );
  const call = toDana().slice(before);
  expect(call.length).toBeGreaterThan(0);
  for (const words of call) {
    expect(words).toMatch(/Call the emergency number 112 .*now/u);
    expect(words).toContain('Ines (hurt): “fell, ankle broken”');
  }
  // Words that sound well end nothing.
  expect(await play('10:35', 'jonas', '/checkin ok words:"we have her at the stance"')).toContain(
    'The trouble stands all the same',
  );
  expect((await at(THU, '10:36', 'jonas', '/roster remove who:Ines')).refused).toBe(true);
  for (const line of ['/topout', '/decide']) {
    expect(await play('10:37', 'jonas', line)).toMatch(
      /^Trouble stands: these figures are as if all could go on as before\./u,
    );
  }
  // Who is hurt has no lead, whatever the order says.
  expect(await play('10:38', 'jonas', '/lead plan')).not.toMatch(/^ *[4-9] .* Ines +\S+ *$/mu);
  const ahead = (await play('10:39', 'jonas', '/lead next')).split('Then:')[1] ?? '';
  expect(ahead).not.toContain('Ines');
  const overview = await play('10:40', 'dana', '/overdue show');
  expect(overview).toContain('Ines (hurt): “fell, ankle broken”');
  expect(overview).not.toContain('They are fine');
  expect(await play('10:41', 'dana', '[I have called the rescue service]')).toContain(
    'the rescue service was called',
  );
  await play('10:45', 'jonas', '/retreat begin');
  for (const time of ['11:20', '11:50', '12:20'])
    expect(await play(time, 'jonas', '/retreat rappel')).toContain('The trouble stands');
  const sheet = await play('12:25', 'dana', '/overdue sheet');
  expect(sheet).toContain('Party of 3; in trouble');
  expect(sheet).toContain('Ines: condition hurt');
  expect((await at(THU, '12:30', 'jonas', '/trip down')).refused).toBe(true);
  const over = await play(
    '12:40',
    'jonas',
    '/trouble over said:"handed to the rescue at the landing" left:out',
  );
  expect(over).toContain('Over: Ines, off the wall.');
  expect(over).toContain('The rescue service was called: tell them as well');
  await play('12:50', 'jonas', '/trip down');
  const last = toDana().at(-1) as string;
  expect(last).toMatch(/down, Thu 12:50\./u);
  expect(last).toContain('Dana: tell the rescue service by');
  expect(last).not.toContain('Nothing more to do');
  for (const words of toDana()) expect(words).not.toMatch(/all well|are well/u);
  await play('12:51', 'dana', '/overdue show');
  await play('12:52', 'dana', '[The rescue service knows]');
  expect((await state()).troubles.every((t) => t.over !== undefined)).toBe(true);
});
