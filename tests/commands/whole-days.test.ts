/** Two-day climbs read answer by answer: figures that must not contradict each other. */
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { climb } from '../app/forecast/said.ts';
import { text, type World, world } from '../helpers/world.ts';
import { FRI, openTwoDays, SAT, THU, upTo } from './two-days.ts';

let w: World;
beforeEach(async () => {
  w = await world();
  await openTwoDays(w);
});
afterEach(() => w.close());

const ask = async (at: string, line: string, who = 'mara') => {
  w.at(at);
  return text(await w.say(who, line));
};

describe('a night', () => {
  it('is sure after a line was fixed above it: what is open is another', async () => {
    await climb(w, THU, [['05:00', 'mara', '/weather set text:"rain 50% fri 06:00-20:00"']]);
    await upTo(w, 5);
    await w.say('greta', '[Fix a pitch and come back]');
    const said = await ask(`${THU} 13:30`, '/pitch fixed number:6', 'greta');
    expect(said).toMatch(/ Another night on the wall: /u);
    expect(said).not.toContain('A night on the wall from here');
  });

  it('in a hold /topout judges as the board does', async () => {
    await climb(w, THU, [['05:00', 'mara', '/schedule set']]);
    await upTo(w, 5);
    await ask(`${THU} 20:00`, '/bivy settle until:05:00');
    await ask(`${FRI} 01:00`, '/rain start');
    await ask(`${FRI} 04:00`, '/rain stop');
    const said = await ask(`${FRI} 05:30`, '/topout');
    expect(said).not.toContain('Behind');
    expect(said).toContain('Settled for the night; not behind for that.');
  });

  it('a median between two days is no time to be down', async () => {
    await climb(w, THU, [
      ['05:00', 'mara', '/checkin plan down:"fri 16:00" callout:"sat 22:00"'],
      ['05:01', 'mara', '/weather set text:"rain 60% fri 06:00-20:00"'],
      ['06:30', 'mara', '/trip depart'],
      ['07:00', 'greta', '/pitch start'],
      ['08:00', 'greta', '/pitch done'],
    ]);
    await w.tick();
    const asked = w.told.map((t) => t.text).filter((t) => t.includes('is agreed for'));
    expect(asked.join('\n')).toContain('at this pace it is missed more likely than kept.');
    expect(asked.join('\n')).not.toContain('at this pace it is Sat');
  });

  it('told to last until later: /plan has the same first move as the forecast', async () => {
    await upTo(w, 5);
    await ask(`${THU} 20:00`, '/bivy settle until:07:00');
    // Up at seven, an hour's work in the morning.
    expect(await ask(`${THU} 20:01`, '/plan')).toContain('Fri 13 Jun: first move 08:00');
  });

  it('is over when they come down: the rest was no night', async () => {
    await upTo(w, 5);
    await ask(`${THU} 20:00`, '/bivy settle');
    await ask(`${FRI} 06:00`, '/retreat begin');
    const said = await ask(`${FRI} 12:00`, '/trip debrief');
    expect(said).toContain('nights 10 h');
    expect(said).toContain('retreating 6 h');
  });
});

describe('water', () => {
  it('short for the days planned is said on the wall too', async () => {
    await climb(w, THU, [['05:00', 'mara', '/kit item:water amount:"8 l" packed:true']]);
    await upTo(w, 5);
    expect(await ask(`${THU} 13:00`, '/kit')).toMatch(/for the days planned short by \d+(\.5)? l/u);
  });
});

describe('held by rain', () => {
  it('on is not said twice: /decide says why and until when nobody goes on', async () => {
    await upTo(w, 5);
    await ask(`${THU} 20:00`, '/bivy settle until:05:00');
    await ask(`${FRI} 01:00`, '/rain start');
    const raining = await ask(`${FRI} 01:01`, '/decide');
    expect(raining).toContain('On: not while it rains, nor for 24 h after it. Sleep here: on ');
    await ask(`${FRI} 05:00`, '/rain stop');
    expect(await ask(`${FRI} 05:01`, '/decide')).toContain('On: not before Sat 05:00.');
    // What is only a wait of today is weighed all the same.
    expect(await ask(`${SAT} 08:00`, '/decide wait:2h')).not.toContain('On: not');
  });

  it('a night without a bed is named once', async () => {
    await upTo(w, 6);
    w.at(`${THU} 13:01`);
    const reply = await w.say('mara', '/decide');
    expect(reply.table?.rows.find(([name]) => name === 'bed')?.[2]).toBe('nowhere');
    expect(text(reply)).not.toMatch(/Sleep here: on [^.]*\. \w+ a night with nowhere/u);
  });
});

describe('the last boat', () => {
  it('that has left is gone, also after a silence, and nobody is sent down by another day’s', async () => {
    await upTo(w, 5);
    await ask(`${THU} 20:00`, '/bivy settle');
    await climb(w, FRI, [
      ['08:00', 'greta', '/bivy leave'],
      ['11:00', 'greta', '/pitch done'],
      ['14:00', 'greta', '/pitch done'],
      ['16:30', 'greta', '/pitch done'],
      ['19:00', 'greta', '/pitch done'],
    ]);
    await ask(`${FRI} 21:30`, '/checkin ok words:"missed the boat, walking out"');
    const said = await ask(`${FRI} 21:31`, '/topout');
    expect(said).toContain('Last boat 21:20 is gone: next Sat 07:20.');
    expect(said).not.toContain('Start down by');
    expect(said).toContain('where they are was told last at 19:00.');
    expect(said).not.toContain('nothing heard');
  });
});

describe('looking back', () => {
  it('every time of two days has its day, and no median lies between two', async () => {
    await upTo(w, 5);
    await ask(`${THU} 20:00`, '/bivy settle');
    await climb(w, FRI, [
      ['08:00', 'greta', '/bivy leave'],
      ['09:00', 'greta', '/pitch done'],
      ['10:00', 'greta', '/pitch done'],
      ['11:00', 'greta', '/pitch done'],
      ['12:00', 'greta', '/pitch done'],
    ]);
    const said = await ask(`${FRI} 12:30`, '/trip debrief');
    const lines = said.split('\n').filter((line) => /^(Departed|With|At the dep)/u.test(line));
    expect(lines.length).toBeGreaterThan(3);
    for (const line of lines) expect(line).not.toMatch(/(?<!\w{3} )\d\d:\d\d/u);
  });
});
