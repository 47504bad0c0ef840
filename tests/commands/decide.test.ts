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
    expect(lineOf(answer, 'On: ')).toContain(
      'No pitch is begun after 21:00, but to reach a bed or the top within 3 h in the dark.',
    );
    expect(lineOf(answer, 'Sleep here, a ledge: on Fri 0')).toContain('top-out Fri');
    expect(lineOf(answer, 'Down: ')).toMatch(/rappels, on the ground 1[78]:\d\d/u);
    expect(answer).toContain('the party on the wall decides');
    expect(reply.buttons?.map((b) => b.label)).toEqual(['Sleep here', 'Down']);
  });

  it('says what can’t be done and why: no bed, no station, past the stop time, rain', async () => {
    await done([1, '08:00'], [2, '10:00'], [3, '12:00'], [4, '15:00'], [5, '17:00'], [6, '21:10']);
    await w.say('mara', '/rain start');
    const answer = text(await w.say('mara', '/decide'));
    expect(lineOf(answer, 'At the stance after pitch 6')).toContain('It rains');
    expect(lineOf(answer, 'On: ')).toContain('in the dark');
    expect(lineOf(answer, 'Sleep here, nowhere to lie down')).not.toBe('');
    expect(lineOf(answer, 'Down: ')).toContain('no way by rappel past the stance after pitch 6');
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
