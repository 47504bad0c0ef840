import { afterEach, beforeEach, describe, expect, it } from 'vitest';
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

const lineOf = (answer: string, begin: string) =>
  answer.split('\n').find((line) => line.startsWith(begin)) ?? '';

describe('/decide', () => {
  it('says on, sleep and down side by side, nine lines at most, and who decides', async () => {
    await done([1, '08:00'], [2, '10:00'], [3, '12:00'], [4, '15:00'], [5, '17:00']);
    const reply = await w.say('mara', '/decide');
    const answer = text(reply);
    expect(answer.split('\n').length).toBeLessThanOrEqual(9);
    expect(lineOf(answer, 'At the stance after pitch 5, 17:00.')).not.toBe('');
    expect(lineOf(answer, 'On: ')).toMatch(/ Leave by 1\d:\d\d; later, the night is here\.$/u);
    // Evening 1 h, rest 6 h, morning 1 h before the start of 06:00.
    expect(lineOf(answer, 'Sleep here, a ledge: on Fri 06:00')).toMatch(
      /top-out Fri.* Settle by 22:00 for 6 h of rest\.$/u,
    );
    expect(lineOf(answer, 'Down: ')).toMatch(/rappels, on the ground 1[78]:\d\d/u);
    expect(answer).toContain('the party on the wall decides');
    expect(reply.buttons?.map((b) => b.label)).toEqual(['Sleep here', 'Down']);
  });

  it('says of a night here the odds of the next day’s last boat, not a boat they are hardly in time for', async () => {
    await w.say('mara', '/shuttle add name:boat times:"first 07:20, last 21:20, every 60 min"');
    await w.say('mara', '/trip edit descent:2h');
    await w.say('mara', '/bivy plan pitch:5 drop:true');
    await done([1, '06:40'], [2, '07:20'], [3, '08:00'], [4, '09:30'], [5, '10:10'], [6, '11:00']);
    const answer = text(await w.say('mara', '/decide'));
    expect(lineOf(answer, 'Sleep here')).toMatch(
      /Last boat 21:20 is out of reach; Fri 21:20: (\d+ in \d+|all but sure)\./u,
    );
  });

  it('says what can’t be done and why: no bed, no station, past the stop time, rain', async () => {
    await done([1, '08:00'], [2, '10:00'], [3, '12:00'], [4, '15:00'], [5, '17:00'], [6, '21:10']);
    await w.say('mara', '/rain start');
    const answer = text(await w.say('mara', '/decide'));
    expect(lineOf(answer, 'At the stance after pitch 6')).toContain('It rains');
    expect(lineOf(answer, 'On: ')).not.toBe('');
    expect(lineOf(answer, 'Sleep here, nowhere to lie down')).not.toBe('');
    expect(lineOf(answer, 'Down: ')).toContain('no way by rappel past the stance after pitch 6');
  });

  it('says until when each can be chosen, to the minute, and what was chosen', async () => {
    await done([1, '08:00'], [2, '10:00'], [3, '12:00'], [4, '15:00'], [5, '17:00']);
    const ask = async (at: string) => {
      w.at(`2031-06-${at}`);
      const answer = text(await w.say('mara', '/decide'));
      expect(answer.split('\n').length).toBeLessThanOrEqual(9);
      return answer;
    };
    const leaveBy = /Leave by (\d\d:\d\d);/u.exec(await ask('12 17:00'))?.[1] as string;
    expect(await ask(`12 ${leaveBy}`)).toContain(`Leave by ${leaveBy};`);
    const minute = Number(leaveBy.slice(3)) + 1;
    const after = `12 ${leaveBy.slice(0, 2)}:${String(minute).padStart(2, '0')}`;
    expect(minute).toBeLessThan(60);
    expect(await ask(after)).toMatch(
      /\nOn into the dark, to 8: top-out .*Late: by the plan they leave by/u,
    );
    expect(await ask('12 21:59')).toContain('Settle by 22:00');
    expect(await ask('12 22:01')).toContain('Short of 6 h of rest by then.');
    // Whoever lay down has not climbed since, and is not slower for it.
    const on = (answer: string) => /\nOn[^:]*: (top-out[^.]*)/u.exec(answer)?.[1];
    const awake = on(await ask('12 22:30'));
    await w.say('mara', '/bivy settle at:18:00');
    expect(on(await ask('12 22:30'))).toBe(awake);
    await w.say('mara', '/rain start');
    w.at('2031-06-13 05:00');
    await w.say('mara', '/rain stop');
    const held = await ask('13 05:01');
    expect(lineOf(held, 'On: ')).not.toContain('Leave by');
    expect(lineOf(held, 'Sleep here, a ledge: on Sat 06:00')).not.toBe('');
  });

  it('names the morning that the night’s own forecast goes on at: out of a hold by day, and after a day lain through', async () => {
    await done([1, '08:00'], [2, '10:00'], [3, '12:00'], [4, '15:00'], [5, '17:00']);
    w.at('2031-06-12 17:30');
    await w.say('mara', '/rain start at:17:10');
    await w.say('mara', '/rain stop at:17:20');
    await w.say('mara', '/trip edit wet_hours:18');
    const held = text(await w.say('mara', '/decide'));
    expect(lineOf(held, 'Sleep here, a ledge: ')).toContain('on Fri 11:20; top-out ');
    await w.say('mara', '/bivy settle');
    w.at('2031-06-13 15:00');
    const lain = text(await w.say('mara', '/decide'));
    expect(lineOf(lain, 'Sleep here, a ledge: ')).toContain('on Sat 06:00; top-out Sat ');
  });

  it('in the dark it says that this was chosen', async () => {
    await done([1, '10:00'], [2, '13:00'], [3, '16:00'], [4, '20:30']);
    await w.say('mara', '[On in the dark]');
    w.at('2031-06-12 21:10');
    const answer = text(await w.say('mara', '/decide'));
    expect(answer).toMatch(/\nOn in the dark, as you chose, to 5: there \d\d:\d\d /u);
    expect(answer).not.toMatch(/Leave by|Late:/u);
  });

  it('supposes a wait, a leader, another start, and changes nothing by it', async () => {
    await done([1, '08:00'], [2, '10:00'], [3, '12:00']);
    const { state: before } = await w.trip();
    const plain = text(await w.say('mara', '/decide'));
    const waited = await w.say('mara', '/decide wait:3h');
    expect(text(waited)).toContain('If they wait 3h (nothing is changed):');
    expect(lineOf(text(waited), 'On: ')).not.toBe(lineOf(plain, 'On: '));
    expect(waited.buttons ?? []).toEqual([]);
    const led = text(await w.say('mara', '/decide leads:Ines start:09:00'));
    expect(led).toContain('If Ines leads and tomorrow begins at 09:00 (nothing is changed):');
    expect(lineOf(led, 'Sleep here')).toContain('on Fri 09:00');
    expect((await w.trip()).state.seq).toBe(before.seq);
    expect(text(await w.say('mara', '/decide'))).toBe(plain);
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
    const top = (answer: string) => /[Tt]op-out [^.]*/u.exec(answer)?.[0].slice(1);
    const topout = top(text(await w.say('mara', '/topout')));
    expect(top(lineOf(text(await w.say('mara', '/decide')), 'On: '))).toBe(topout);
  });
});
