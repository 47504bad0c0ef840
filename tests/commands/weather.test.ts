import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { openDemo, text, type World, world } from '../helpers/world.ts';

let w: World;
beforeEach(async () => {
  w = await world();
  await openDemo(w);
  for (const line of [
    '/trip edit ropes:"lead 70 haul 60" approach_min:30 descent_min:90 start:06:00 stop:21:00',
    '/trip depart',
  ]) {
    const reply = await w.say('mara', line);
    expect(reply.refused, text(reply)).toBeUndefined();
  }
});
afterEach(() => w.close());

const RAIN = 'rain 40% 22:00–03:00, wind 40 km/h from 14:00, thunder 1 in 5 tonight, -2°C tonight';

describe('/weather', () => {
  it('takes what is typed, says what it does to the climb, and can be undone', async () => {
    const reply = await w.say('greta', `/weather set text:"${RAIN}" source:"the hut"`);
    const answer = text(reply);
    expect(answer).toContain('Rain, 40 %: 22:00–Fri 03:00');
    expect(answer).toContain('Thunder, 20 %: 20:00–Fri 06:00');
    expect(answer).toContain('Wind 40 km/h: 14:00–Fri 02:00');
    expect(answer).toContain('-2 °C: 20:00–Fri 06:00');
    expect(answer).toContain('Source: “the hut”, told 06:10 by Greta.');
    expect(answer).toMatch(/On top before any rain: \d+ in \d+\. Caught on the wall: \d+ in \d+/u);
    expect(answer).toContain('(hold 24 h)');
    expect(text(await w.say('mara', '/topout'))).toContain('On top before any rain: ');
    expect(text(await w.say('mara', '/weather show'))).toContain('Rain, 40 %');
    expect(text(await w.say('mara', '/log show'))).toContain(`weather told: “${RAIN}”`);
    await w.say('greta', '/weather set text:none');
    expect(text(await w.say('mara', '/weather show'))).toContain('No weather is told');
    expect(text(await w.say('mara', '/topout'))).not.toContain('rain:');
  });

  it('what is told last takes the place of what was told before', async () => {
    await w.say('greta', '/weather set text:"rain 80% 12:00-20:00"');
    const wet = text(await w.say('mara', '/topout'));
    const answer = text(await w.say('greta', '/weather set text:"rain 10% 12:00-20:00"'));
    expect(answer).toContain('Rain, 10 %: 12:00–20:00');
    await w.say('greta', '[Undo]');
    expect(text(await w.say('mara', '/topout'))).toBe(wet);
  });

  it('makes rain, thunder, wind and cold cutoffs by a press', async () => {
    const reply = await w.say('greta', `/weather set text:"${RAIN}"`);
    expect(reply.buttons?.map((b) => b.label)).toEqual([
      'Undo',
      'On top before rain 22:00',
      'On top before thunder 20:00',
      'On top before wind 14:00',
      'On top before cold 20:00',
    ]);
    const added = await w.say('greta', '[On top before wind 14:00]');
    expect(text(added)).toContain('Cutoff added: wind 14:00');
    expect((await w.trip()).state.cutoffs).toMatchObject([{ kind: 'weather', label: 'wind' }]);
    const shown = await w.say('mara', '/weather show');
    expect(shown.buttons?.map((b) => b.label)).not.toContain('On top before wind 14:00');
  });

  it('is said by who may post, and refuses kindly what it can’t read', async () => {
    const refused = await w.say('greta', '/weather set text:"lovely"');
    expect(refused.code).toBe('unreadable-value');
    expect(text(refused)).toContain('Write it like: rain 50% 22:00–03:00');
    expect((await w.say('dana', '/weather set text:"rain tonight"')).refused).toBe(true);
  });

  it('rain that falls ends when the weather says, and that is said', async () => {
    w.at('2031-06-12 12:00');
    await w.say('mara', '/pitch done number:1');
    await w.say('mara', '/rain start');
    const open = text(await w.say('mara', '/topout'));
    expect(open).toContain('as if it ended now,');
    await w.say('mara', '/weather set text:"rain 11:00-18:00"');
    const told = text(await w.say('mara', '/topout'));
    expect(told).toContain('as if it ended at 18:00, as told,');
    await w.say('mara', '/weather set text:"rain 80% fri 15:00-18:00"');
    expect(text(await w.say('mara', '/topout'))).toContain('On top before more rain');
  });

  it('the rule of the rock is set once, with who says so, and an edit of the hours alone drops the name', async () => {
    const reply = await w.say('mara', '/weather rock hours:36 source:"the rangers" faces:north');
    expect(text(reply)).toContain(
      '36 h without climbing after rain on this rock, by “the rangers”.',
    );
    expect(text(reply)).toContain('shade dries later');
    expect(text(await w.say('mara', '/rain show'))).toContain('by “the rangers”');
    expect(text(await w.say('mara', '/trip show'))).toContain(
      '36 h after rain, by “the rangers”. It faces north.',
    );
    await w.say('mara', '/trip edit wet_hours:48');
    expect(text(await w.say('mara', '/rain show'))).not.toContain('the rangers');
  });

  it('obeys a rule that depends on the wall or the season, with the hours of the notice', async () => {
    const asked = await w.say(
      'mara',
      '/weather rock hours:"south 24, north 48" source:"the notice"',
    );
    expect(asked.code).toBe('needs-value');
    expect(text(asked)).toContain('faces:north');
    const north = await w.say(
      'mara',
      '/weather rock hours:"south 24, north 48" source:"the notice" faces:north',
    );
    expect(text(north)).toContain(
      '48 h without climbing after rain on this rock, by “the notice”: south 24, north 48. It faces north',
    );
    expect((await w.trip()).state.settings.wetHours).toBe(48);
    w.at('2031-06-12 08:00');
    await w.say('mara', '/rain start at:-1h');
    await w.say('mara', '/rain stop');
    expect(text(await w.say('mara', '/rain show'))).toContain(
      'Wet-rock hold until Sat 08:00: 48 h',
    );
    // Their trip is in June.
    const june = '/weather rock hours:"Nov–Mar 72, else 36" source:"the notice"';
    expect(text(await w.say('mara', june))).toContain('36 h without climbing');
    const none = await w.say('mara', '/weather rock hours:"south 24" source:"the notice"');
    expect(text(none)).toContain('The rule has no hours for a wall that faces north in Jun.');
    const unread = await w.say('mara', '/weather rock hours:"when dry" source:"the notice"');
    expect(text(unread)).toContain('“when dry” is no hours');
    await w.say('mara', '/weather rock hours:0 source:"the notice"');
    expect((await w.trip()).state.settings.wetRule).toBeUndefined();
  });

  it('/decide supposes rain, says what it would cost, and changes nothing', async () => {
    w.at('2031-06-12 10:00');
    await w.say('mara', '/pitch done number:1');
    const { state } = await w.trip();
    const answer = text(await w.say('mara', '/decide rain_from:14:00-17:00'));
    expect(answer).toContain('If it rains 14:00–17:00 (nothing is changed):');
    expect(answer).toContain('Caught on the wall: all but sure');
    expect(text(await w.say('mara', '/decide rain_from:14:00'))).toContain('If it rains 14:00–Fri');
    expect((await w.say('mara', '/decide rain_from:soon')).code).toBe('unreadable-value');
    expect((await w.trip()).state.seq).toBe(state.seq);
  });
});
