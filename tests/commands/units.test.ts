/** A trip of feet, miles and pounds, by the 12-hour clock: what is typed, and what is written. */
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { sheetOf } from '../../src/alarm/sheet.ts';
import { sheetText } from '../../src/alarm/sheet-text.ts';
import { textIn12 } from '../../src/say/hours.ts';
import { openDemo, text, type World, world } from '../helpers/world.ts';

let w: World;
beforeEach(async () => {
  w = await world();
  await openDemo(w);
  await say('/trip edit units:ft');
});
afterEach(() => w.close());

async function say(line: string): Promise<string> {
  const reply = await w.say('mara', line);
  if (reply.refused) throw new Error(`${line}\n${text(reply)}`);
  return text(reply);
}
const settings = async () => (await w.trip()).state.settings;

describe('feet, miles and pounds', () => {
  // 1 mi = 1.609344 km, 1 lb = 0.45359237 kg, 1 ft = 0.3048 m: NIST SP 811, appendix B.
  it('are what a bare figure means in such a trip', async () => {
    expect(
      await say('/trip edit bag:77 descent:"2.5 mi, 2000 down" walk:"7 800 up" ropes:"lead 200"'),
    ).toBe(
      [
        'Set.',
        'Lead line 200 ft, 16 ft kept back on a link.',
        'Hauling a bag of 77 lb.',
        'Descent 2.5 mi, 0 ft up, 2000 ft down.',
        'Walk out without a shuttle 7 mi, 800 ft up, 0 ft down.',
      ].join('\n'),
    );
    const set = await settings();
    expect(set.bagKg).toBeCloseTo(34.927, 3);
    expect(set.descentKm).toBeCloseTo(4.02336, 5);
    expect(set.descentDownM).toBeCloseTo(609.6, 6);
    expect(set.walkKm).toBeCloseTo(11.265408, 6);
  });

  it('may be named in the other unit, and a time takes the place of the way', async () => {
    await say('/trip edit bag:"35 kg" descent:"4 km 650 m down"');
    expect(await settings()).toMatchObject({ bagKg: 35, descentKm: 4, descentDownM: 650 });
    expect(await say('/trip edit descent:2h')).toBe('Set.\nDescent to the trailhead 2 h.');
    expect(await settings()).not.toHaveProperty('descentKm');
    await say('/trip edit descent:"4 km"');
    expect(await settings()).not.toHaveProperty('descentMin');
  });

  it('what is proposed to be typed means what it says there', async () => {
    const link = await w.say('mara', '/lead link pitch:1');
    expect(text(link)).toContain('/trip edit ropes:"lead 260 keep 16"');
    expect(text(await w.say('mara', '/weather show'))).toContain('wind 25 mph from 2pm, 36°F');
    const odd = await w.say('mara', '/weather set text:"35 F"');
    expect(text(odd)).toContain('36°F tonight');
    expect(text(await w.say('mara', '/weather set text:"35 F tonight"'))).toContain('°F');
  });

  it('stand on the sheet', async () => {
    await say('/trip edit bag:"35 kg" ropes:"haul 200 tag none"');
    const sheet = sheetText(sheetOf((await w.trip()).state, w.clock.wallMs()));
    expect(sheet).toContain('Lead line 230 ft, haul line 200 ft, haul bag of 77 lb.');
  });

  it.each([
    ['bag:heavy', 'bag: "heavy" isn\'t yes, no or a weight like 77 lb.'],
    ['bag:900', "bag: 900 can't be right"],
    ['descent:far', 'descent: "far" isn\'t a way on foot.'],
    ['descent:"2 mi 3"', "isn't a way on foot"],
    ['walk:2h', 'walk: is a length'],
    ['walk:"900 mi"', "can't be right"],
  ])('%s is refused with a way out', async (option, why) => {
    const reply = await w.say('mara', `/trip edit ${option}`);
    expect([reply.refused, text(reply)]).toEqual([true, expect.stringContaining(why)]);
  });
});

describe('the 12-hour clock', () => {
  it('writes answers, buttons and messages by it, and reads either', async () => {
    await say('/trip edit hours:12 start:6am');
    expect(await say('/trip show')).toMatch(
      /Climbing from 6:00 am. No pitch is begun after 9:00 pm/,
    );
    await say('/checkin plan nightly:9pm down:"fri 6pm" callout:"fri 22:00"');
    expect(await say('/trip depart')).toContain('Departed at 6:10 am.');
    await w.tick();
    expect(w.told.at(-1)?.text).toContain('Call-out time Fri 10:00 pm');
    w.at('2031-06-12 14:30');
    const done = await w.say('mara', '/pitch done number:3 at:2:20pm');
    expect(text(done)).toContain('Pitches 1 and 2');
  });

  it.each([
    ['00:00 and 00:05', '12:00 am and 12:05 am'],
    ['12:00–13:30', '12:00 pm–1:30 pm'],
    ['2031-06-12 14:32 (+02:00)', '2031-06-12 2:32 pm (+02:00)'],
    ['at:14:32', 'at:14:32'],
    ['14:32:10', '14:32:10'],
  ])('%s → %s', (plain, shown) => {
    expect(textIn12(plain)).toBe(shown);
    // Done twice it is done once.
    expect(textIn12(shown)).toBe(shown);
  });

  it.each([
    '/checkin plan once:6pm',
    '/checkin plan nightly:9pm topout:"tomorrow 4pm" down:"tomorrow 6pm" callout:"tomorrow 10pm"',
    '/trip edit start:6am stop:9pm',
    '/cutoff add kind:own label:rain at:"tomorrow 4pm"',
    '/pitch break wait:4pm',
    '/rain start at:6:05am',
    '/trip depart at:6:05am',
  ])('%s takes a 12-hour time', async (line) => {
    const reply = await w.say('mara', line);
    expect([line, text(reply)]).not.toEqual([
      line,
      expect.stringMatching(/can.t (be )?read|isn't a clock/iu),
    ]);
  });
});
