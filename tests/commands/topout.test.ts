import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { forecast } from '../../src/forecast/forecast.ts';
import { forecastInput } from '../../src/forecast/input.ts';
import { modeOf } from '../../src/trip/mode.ts';
import { climb, lineCount, topoutSaid } from '../app/forecast/said.ts';
import { openDemo, text, type World, world } from '../helpers/world.ts';

const DAY = '2031-06-12';
let w: World;
beforeEach(async () => {
  w = await world();
});
afterEach(() => w.close());

async function setUp(): Promise<void> {
  await openDemo(w);
  await climb(w, DAY, [
    ['05:30', 'mara', '/trip edit haul_bag:yes bag_kg:35 descent_km:4 descent_down:650 walk_km:11'],
    ['05:31', 'mara', '/shuttle add times:"first 06:20, last 21:15, every 20 min" name:boat'],
  ]);
}

describe('the answer', () => {
  it('leads with the top-out and what binds, and ends with whose decision it is', async () => {
    await setUp();
    const [first, ...rest] = (await w.say('mara', '/topout')).lines;
    expect(first).toMatch(
      /^Top-out by \d\d:\d\d: \d in \d+\. Otherwise Fri \d\d:\d\d–\d\d:\d\d, after a night [^.]+\. Last boat 21:15: [^.]+\.$/,
    );
    expect(rest.at(-1)).toBe('A forecast, not a decision: the party on the wall decides.');
  });

  it('fits a phone with everything set and everything wrong', async () => {
    await setUp();
    await climb(w, DAY, [
      ['05:40', 'mara', '/bivy plan pitch:4'],
      ['05:40', 'mara', '/cutoff add kind:weather at:19:00 label:Front'],
      ['05:40', 'mara', '/cutoff add kind:permit at:"fri 12:00" target:trailhead'],
      ['05:40', 'mara', '/cutoff add kind:own at:12:00 pitch:4'],
      ['05:41', 'mara', '/schedule set'],
      ['06:05', 'mara', '/trip depart'],
      ['07:30', 'greta', '/pitch done number:1'],
      ['09:00', 'greta', '/rain start'],
    ]);
    w.at(`${DAY} 15:00`);
    const reply = await w.say('mara', '/topout');
    expect(lineCount(reply)).toBeLessThanOrEqual(12);
    expect(text(reply)).toContain(
      'Raining since 09:00, by the last word: as if it ended now, and 24 h held.',
    );
    for (const line of reply.lines) expect(String(line).length).toBeLessThan(200);
  });

  it('says what it assumes, and how to mend it', async () => {
    await w.say('mara', '/trip open name:"Harrow Tower" zone:Europe/Oslo');
    expect(text(await w.say('mara', '/topout'))).toContain('/topo load takes a CSV file.');
    w.file('t.csv', 'pitch,length_m\n1,30\n2,30\n');
    await w.say('mara', '/topo load file:t.csv');
    const bare = text(await w.say('mara', '/topout'));
    for (const assumed of [
      'start 06:10 (/trip edit first_day: start:)',
      'a party of 2 (/roster add)',
      'descent 1 h 30, from memory (/trip edit descent:)',
      "no darkness, the place isn't given (/trip edit lat: lon:)",
    ]) {
      expect(bare).toContain(assumed);
    }
    await w.say('mara', '/roster add name:Mara');
    expect(text(await w.say('mara', '/topout'))).toContain('times as for two, one climber');
    await w.say('mara', '/roster add name:Jonas');
    await w.say('mara', '/trip edit lat:62 lon:7 descent_min:30');
    await w.say('mara', '/trip depart');
    expect(text(await w.say('mara', '/topout'))).not.toContain('Assumed');
  });

  it('warns of a night where not everybody can lie down', async () => {
    w.file(
      'bare.csv',
      ['pitch,length_m,aid,stance', ...[1, 2, 3, 4, 5, 6].map((n) => `${n},45,A3,hanging`)].join(
        '\n',
      ),
    );
    await w.say('mara', '/trip open name:Bare zone:Europe/Oslo');
    await w.say('mara', '/topo load file:bare.csv');
    const said = text(await w.say('mara', '/topout'));
    expect(said).toMatch(/A night on the wall from here: .*; nowhere to lie down: /);
  });

  it('with details adds the pace and where the figures come from, and no button', async () => {
    await setUp();
    const plain = await w.say('mara', '/topout');
    expect(plain.buttons?.map((b) => b.label)).toEqual(['Details']);
    const more = await w.say('mara', '[Details]');
    expect(text(more)).toContain('Pace: nothing climbed yet. Believed');
    expect(text(more)).toMatch(/\d+ figures stand behind this: 0 your own/);
    expect(more.buttons ?? []).toEqual([]);
    expect(text(more)).toMatch(/^Early \(1 in 10\): top-out \d\d:\d\d, trailhead \d\d:\d\d\./m);
    // Hanging stances of the topo below the top, and everybody who hangs at one.
    expect(more.table?.head).toEqual(['', 'Mara', 'Jonas', 'Ines']);
    expect(more.table?.rows.map((row) => row[0])).toEqual(['2', '3', '4', '6', '7']);
    for (const cell of more.table?.rows.flatMap((row) => row.slice(1)) ?? []) {
      expect(cell).toMatch(/^(\d+:[0-5]\d|-)$/);
    }
    expect(more.lines[0]).toBe(plain.lines[0]);
  });
});

describe('on the wall', () => {
  const POSTS: [string, string, string][] = [
    ['06:05', 'mara', '/trip depart'],
    ['06:10', 'greta', '/pitch start'],
    ['07:00', 'greta', '/pitch done'],
    ['08:15', 'greta', '/pitch done'],
    ['09:20', 'greta', '/pitch fixed'],
    ['09:50', 'greta', '/pitch done'],
    ['13:05', 'greta', '/pitch done'],
    ['14:00', 'greta', '/pitch done at:-5m'],
  ];

  it('the line after every post is the top-out of /topout at the same minute', async () => {
    await setUp();
    for (const post of POSTS) {
      const [reply] = await climb(w, DAY, [post]);
      if (post[2] === '/trip depart') continue;
      expect(topoutSaid(reply as never)).toBe(topoutSaid(await w.say('mara', '/topout')));
    }
  });

  it('same log and same clock give the same answer, in another bot too', async () => {
    await setUp();
    await climb(w, DAY, POSTS);
    w.at(`${DAY} 15:00`);
    const once = await w.say('mara', '/topout');
    expect(await w.say('ines', '/topout')).toEqual(once);
    const other = await world();
    const mine = w;
    w = other;
    await setUp();
    await climb(other, DAY, POSTS);
    other.at(`${DAY} 15:00`);
    expect(text(await other.say('mara', '/topout'))).toBe(text(once));
    await mine.close();
  });

  it('a post struck gives back the answer there was', async () => {
    await setUp();
    await climb(w, DAY, POSTS.slice(0, 4));
    w.at(`${DAY} 09:00`);
    const before = await w.say('mara', '/topout');
    await w.say('greta', '/pitch done');
    expect(topoutSaid(await w.say('mara', '/topout'))).not.toBe(topoutSaid(before));
    await w.say('greta', '[Undo]');
    expect((await w.say('mara', '/topout')).lines).toEqual(before.lines);
  });

  it('says when where the party is can only be guessed', async () => {
    await setUp();
    await climb(w, DAY, POSTS.slice(0, 4));
    const quiet = 'Nothing told of the climb since 08:15; where they are now is a guess.';
    w.at(`${DAY} 12:14`);
    expect(text(await w.say('mara', '/topout'))).not.toContain(quiet);
    w.at(`${DAY} 12:15`);
    expect(text(await w.say('mara', '/topout'))).toContain(quiet);
  });

  it('a rest marked as a break is left out of the pace', async () => {
    await setUp();
    await climb(w, DAY, POSTS);
    w.at(`${DAY} 14:00`);
    const late = await w.say('mara', '/topout details:yes');
    await w.say('greta', '/pitch break number:4 minutes:120 at:12:30');
    const rested = await w.say('mara', '/topout details:yes');
    const factor = (said: string) => Number(/slower: party ([\d.]+) /.exec(said)?.[1]);
    expect(factor(text(rested))).toBeLessThan(factor(text(late)));
    await w.say('greta', '/pitch strike');
    expect(factor(text(await w.say('mara', '/topout details:yes')))).toBe(factor(text(late)));
  });

  it('a later completion never makes the top-out earlier, told when it happens', async () => {
    await setUp();
    await climb(w, DAY, POSTS.slice(0, 3));
    const medians: number[] = [];
    for (const time of ['07:40', '08:00', '08:30', '09:30', '10:30', '12:00']) {
      await climb(w, DAY, [[time, 'greta', '/pitch done number:2']]);
      const { state } = await w.trip();
      medians.push(forecast(forecastInput(state, w.clock.wallMs())).topout.q50);
      await w.say('greta', '[Undo]');
    }
    expect(medians).toEqual([...medians].sort((a, b) => a - b));
    expect(new Set(medians).size).toBe(medians.length);
  });
});

describe('from the top on', () => {
  it('asks about the way down, then stops', async () => {
    await setUp();
    await climb(w, DAY, [['06:05', 'mara', '/trip depart']]);
    w.at(`${DAY} 17:00`);
    const last = await w.say('greta', '/pitch done number:8');
    await w.say('greta', `[${last.buttons?.[0]?.label}]`);
    const { state } = await w.trip();
    expect(modeOf(state, w.clock.wallMs()).is).toBe('going down');
    w.at(`${DAY} 17:10`);
    const down = text(await w.say('mara', '/topout'));
    expect(down).toMatch(
      /^On top\. Trailhead 1\d:\d\d \(cautious [12]\d:\d\d\)\. Last boat 21:15: /,
    );
    expect(down).toMatch(/Start down by \d\d:\d\d to keep the last boat at 90 %\./);
    expect(down).toMatch(/On the boat \d\d:\d\d \(cautious \d\d:\d\d\)\./);
    expect(down).not.toMatch(/hangs about|A night on the wall/);
    await climb(w, DAY, [['19:30', 'mara', '/trip down']]);
    expect(text(await w.say('mara', '/topout'))).toBe(
      'Everyone is down; nothing to forecast.\nThe times are in /log show.',
    );
  });
});
