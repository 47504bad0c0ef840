import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { Reply } from '../../src/say/reply.ts';
import { openDemo, text, type World, world } from '../helpers/world.ts';

let w: World;
beforeEach(async () => {
  w = await world();
  await openDemo(w);
  for (const line of [
    '/trip edit ropes:"lead 70 haul 60" approach_min:30 descent_min:90 start:06:00 stop:21:00',
    '/bivy plan pitch:5',
    '/trip depart',
  ]) {
    const reply = await w.say('mara', line);
    expect(reply.refused, text(reply)).toBeUndefined();
  }
});
afterEach(() => w.close());

async function done(...pitches: readonly (readonly [number, string])[]): Promise<void> {
  for (const [number, at] of pitches) {
    w.at(`2031-06-12 ${at}`);
    const reply = await w.say('greta', `/pitch done number:${number}`);
    expect(reply.refused, text(reply)).toBeUndefined();
  }
}

/** A cell of the card: the row's name, and the column: 1 on, 2 sleep here, 3 down. */
const cell = (reply: Reply, row: string, column: 1 | 2 | 3) =>
  reply.table?.rows.find(([name]) => name === row)?.[column];

/** Lines of the card as it stands: where, the table with its head, why and whose decision it is. */
const lines = (reply: Reply) =>
  reply.lines.length + 1 + (reply.table?.rows.length ?? 0) + (reply.after?.length ?? 0);

async function decided(line = '/decide'): Promise<Reply> {
  const reply = await w.say('mara', line);
  expect(reply.refused, text(reply)).toBeUndefined();
  expect(lines(reply)).toBeGreaterThanOrEqual(6);
  expect(lines(reply)).toBeLessThanOrEqual(9);
  expect(text(reply)).toContain('the party on the wall decides');
  return reply;
}

describe('/decide', () => {
  it('says on, sleep and down side by side in six to nine lines, and who decides', async () => {
    await w.say('mara', '/shuttle add name:boat times:"first 07:20, last 23:20, every 60 min"');
    await done([1, '08:00'], [2, '10:00'], [3, '12:00'], [4, '15:00'], [5, '17:00']);
    await w.say('mara', '/weather set text:"rain 50% 22:00–03:00"');
    const reply = await decided();
    expect(reply.table?.head).toEqual(['', 'on', 'sleep here', 'down']);
    expect(reply.table?.rows.map(([name]) => name)).toEqual([
      ...['up', 'out', 'boat', 'bed', 'rain', 'go by'],
    ]);
    expect(text(reply)).toMatch(/^At the stance after pitch 5, 17:00\./u);
    expect(cell(reply, 'go by', 1)).toMatch(/^1\d:\d\d$/u);
    expect(cell(reply, 'bed', 2)).toBe('ledge');
    // Evening 1 h, rest 6 h, morning 1 h before the start of 06:00.
    expect(cell(reply, 'go by', 2)).toBe('22:00');
    expect(text(reply)).toContain('Sleep here: on Fri 06:00.');
    expect(text(reply)).toMatch(/Down: \d rappels, on the ground 1[78]:\d\d\./u);
    // Nine in ten are at the stop by then, later than the median on the ground.
    expect(cell(reply, 'out', 3)).toMatch(/^(18|19|20):\d\d$/u);
    expect(cell(reply, 'boat', 3)).toMatch(/in/u);
    expect(reply.buttons?.map((b) => b.label)).toEqual(['Sleep here', 'Down']);
  });

  it('keeps the planned day of the last boat in each column, lost as it may be', async () => {
    await w.say('mara', '/shuttle add name:boat times:"first 07:20, last 21:20, every 60 min"');
    await w.say('mara', '/trip edit descent:2h');
    await w.say('mara', '/bivy plan pitch:5 drop:true');
    await done([1, '06:40'], [2, '07:20'], [3, '08:00'], [4, '09:30'], [5, '10:10'], [6, '11:00']);
    const reply = await decided();
    // Planned for today: a night here loses it.
    expect(cell(reply, 'boat', 2)).toBe('lost');
    expect(cell(reply, 'out', 2)).toMatch(/^Fri /u);
    expect(cell(reply, 'boat', 1)).toMatch(/in|all but sure/u);
  });

  it('says what can’t be done and why: no bed, no station, past the stop time, rain', async () => {
    await done([1, '08:00'], [2, '10:00'], [3, '12:00'], [4, '15:00'], [5, '17:00'], [6, '21:10']);
    await w.say('mara', '/rain start');
    const reply = await decided();
    expect(text(reply)).toMatch(/^At the stance after pitch 6.*It rains/u);
    expect(text(reply)).toContain('On: not while it rains, nor for 24 h after it.');
    expect(cell(reply, 'up', 1)).toBe('-');
    expect(cell(reply, 'bed', 2)).toBe('nowhere');
    expect(cell(reply, 'out', 3)).toBe('no way');
    expect(text(reply)).toContain('Down: the stance after pitch 6 is no station.');
    await w.say('mara', '/topo edit number:6 rappel:roof');
    expect(text(await decided())).toContain(
      'Down: pitch 6 is a roof, and no rope goes back over it.',
    );
    await w.say('mara', '/topo edit number:6 rappel:yes length:60');
    await w.say('mara', '/trip edit ropes:"lead 70 haul none tag none"');
    expect(text(await decided())).toContain(
      'the next is 60 m below; one rope doubled reaches 35 m.',
    );
  });

  it('says until when each can be chosen, to the minute, and what was chosen', async () => {
    await done([1, '08:00'], [2, '10:00'], [3, '12:00'], [4, '15:00'], [5, '17:00']);
    const ask = (at: string) => {
      w.at(`2031-06-${at}`);
      return decided();
    };
    const leaveBy = cell(await ask('12 17:00'), 'go by', 1) as string;
    expect(cell(await ask(`12 ${leaveBy}`), 'go by', 1)).toBe(leaveBy);
    const minute = Number(leaveBy.slice(3)) + 1;
    const after = `12 ${leaveBy.slice(0, 2)}:${String(minute).padStart(2, '0')}`;
    expect(minute).toBeLessThan(60);
    const late = await ask(after);
    expect(cell(late, 'go by', 1)).toBe('late');
    expect(late.table?.head[1]).toBe('on, dark');
    expect(text(late)).toContain(`On into the dark, to 8; by the plan they leave by ${leaveBy}.`);
    expect(cell(await ask('12 21:59'), 'go by', 2)).toBe('22:00');
    const short = await ask('12 22:01');
    expect(cell(short, 'go by', 2)).toBe('late');
    expect(text(short)).toContain('with less than 6 h of rest.');
    // Whoever lay down has not climbed since, and is not slower for it.
    const awake = cell(await ask('12 22:30'), 'up', 1);
    await w.say('mara', '/bivy settle at:18:00');
    expect(cell(await ask('12 22:30'), 'up', 1)).toBe(awake);
    await w.say('mara', '/rain start');
    w.at('2031-06-13 05:00');
    await w.say('mara', '/rain stop');
    const held = await ask('13 05:01');
    expect(cell(held, 'go by', 1)).toBe('-');
    expect(text(held)).toContain('Sleep here: on Sat 06:00.');
  });

  it('names the morning that the night’s own forecast goes on at: out of a hold by day, and after a day lain through', async () => {
    await done([1, '08:00'], [2, '10:00'], [3, '12:00'], [4, '15:00'], [5, '17:00']);
    w.at('2031-06-12 17:30');
    await w.say('mara', '/rain start at:17:10');
    await w.say('mara', '/rain stop at:17:20');
    await w.say('mara', '/trip edit wet_hours:18');
    expect(text(await decided())).toContain('Sleep here: on Fri 11:20.');
    await w.say('mara', '/bivy settle');
    w.at('2031-06-13 15:00');
    const lain = await decided();
    expect(text(lain)).toContain('Sleep here: on Sat 06:00.');
    expect(cell(lain, 'up', 2)).toMatch(/^Sat /u);
  });

  it('in the dark it says that this was chosen', async () => {
    await done([1, '10:00'], [2, '13:00'], [3, '16:00'], [4, '20:30']);
    await w.say('mara', '[On in the dark]');
    w.at('2031-06-12 21:10');
    const reply = await decided();
    expect(text(reply)).toMatch(/On in the dark, as you chose, to 5: there \d\d:\d\d /u);
    expect(cell(reply, 'go by', 1)).toBe('-');
  });

  it('supposes a wait from a bed too, and of the way down', async () => {
    await w.say('mara', '/shuttle add name:boat times:"first 07:20, last 23:20, every 60 min"');
    await done([1, '08:00'], [2, '10:00'], [3, '12:00'], [4, '15:00'], [5, '16:00']);
    const now = await decided();
    const waited = await decided('/decide wait:"until 17:00"');
    expect(cell(waited, 'out', 3)).not.toBe(cell(now, 'out', 3));
    expect(cell(waited, 'go by', 1)).toBe(cell(now, 'go by', 1));
    expect(text(waited)).toMatch(
      /^If they wait until 17:00 \(nothing is changed\): At the stance after pitch 5/u,
    );
    await w.say('mara', '/bivy settle at:16:30');
    w.at('2031-06-12 16:40');
    const abed = await decided();
    expect(cell(await decided('/decide wait:8h'), 'up', 1)).not.toBe(cell(abed, 'up', 1));
  });

  it('supposes a wait, a leader, another start, and changes nothing by it', async () => {
    await done([1, '08:00'], [2, '10:00'], [3, '12:00']);
    const { state: before } = await w.trip();
    const plain = await decided();
    const waited = await decided('/decide wait:3h');
    expect(text(waited)).toContain('If they wait 3h (nothing is changed):');
    expect(cell(waited, 'up', 1)).not.toBe(cell(plain, 'up', 1));
    expect(waited.buttons ?? []).toEqual([]);
    const led = text(await decided('/decide leads:Ines start:09:00'));
    expect(led).toContain('If Ines leads and tomorrow begins at 09:00 (nothing is changed):');
    expect(led).toContain('Sleep here: on Fri 09:00.');
    expect((await w.trip()).state.seq).toBe(before.seq);
    const again = await decided();
    expect([text(again), again.table]).toEqual([text(plain), plain.table]);
  });

  it('has nothing to compare before they climb and on the way down, and says where to look', async () => {
    const early = await w.say('mara', '/decide');
    expect(early.code).toBe('nothing-left');
    await done([1, '08:00'], [2, '10:00']);
    await w.say('mara', '/retreat begin');
    expect(text(await w.say('mara', '/decide'))).toContain('/retreat compare');
  });

  it('its presses are carried out', async () => {
    await done([1, '08:00'], [2, '10:00']);
    await w.say('mara', '/decide');
    await w.say('mara', '[Down]');
    expect((await w.trip()).state.retreats).toHaveLength(1);
  });
});

describe('on', () => {
  it('is carried out as chosen now: the same as /topout, from a stance where they could sleep', async () => {
    await w.say('mara', '/bivy plan pitch:5 drop:true');
    await done([1, '08:00'], [2, '10:00'], [3, '12:00'], [4, '13:30'], [5, '15:00']);
    const topout = text(await w.say('mara', '/topout'));
    const up = cell(await decided(), 'up', 1) as string;
    // A time is /topout's own; a day with its chance is one that /topout names.
    if (/:/u.test(up)) expect(topout).toContain(`Top-out ${up}`);
    else
      expect(topout).toContain(
        up.split(' ')[0] === 'today' ? 'Top-out by ' : `${up.split(' ')[0]} `,
      );
  });
});
