import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { modeOf } from '../../src/trip/mode.ts';
import { instant, openDemo, text, type World, world, ZONE } from '../helpers/world.ts';
import { ask, labels, press } from './ask.ts';

let w: World;
beforeEach(async () => {
  w = await world();
});
afterEach(() => w.close());

describe('opening', () => {
  test('says what it understood and what comes next', async () => {
    const reply = await w.say(
      'mara',
      '/trip open name:"Harrow Tower" zone:Europe/Oslo place:"Lantern Gorge" lat:62.1 lon:6.9 units:feet confidence:80 emergency:112',
    );
    const said = text(reply);
    expect(said).toContain('Harrow Tower is open in this channel.');
    expect(said).toContain('Wall time Europe/Oslo, now 06:10. Lengths in ft.');
    expect(said).toContain('80 % confidence');
    expect(said).toContain('/topo load');
    expect((await w.trip()).state).toMatchObject({
      name: 'Harrow Tower',
      zone: 'Europe/Oslo',
      place: { name: 'Lantern Gorge', lat: 62.1, lon: 6.9 },
      units: 'ft',
      confidence: 0.8,
      emergencyNumber: '112',
    });
  });

  test.each([
    ['/trip open', 'A trip needs a name and the time zone of the wall.'],
    ['/trip open name:X zone:Mars/Base', "Mars/Base isn't a zone of the tz database."],
    ['/trip open name:X zone:+02:00', "+02:00 isn't a zone"],
    ['/trip open name:X', 'A trip needs the time zone of the wall. A city in it will do'],
    ['/trip open zone:Oslo', 'A trip needs a name too. Its wall time will be Europe/Oslo.'],
    ['/trip open name:X zone:Kentucky', 'America/Kentucky/Louisville, America/Kentucky/Monticello'],
    ['/trip open name:X lat:40 lon:-40', 'These coordinates lie at sea'],
    ['/trip open name:X lat:40', 'A place needs both'],
    ['/trip open name:X zone:Europe/Oslo lat:62', 'A place needs both'],
    ['/trip open name:X zone:Europe/Oslo lat:162 lon:6', 'lat: 90 or less'],
    ['/trip open name:X zone:Europe/Oslo confidence:100', 'confidence: 99 or less'],
    ['/trip open name:"  " zone:Europe/Oslo', 'name: is empty'],
    [
      `/trip open name:${'x'.repeat(61)} zone:Europe/Oslo`,
      'name: at most 60 characters, this has 61',
    ],
  ])('%s is refused: %s', async (line, says) => {
    const reply = await w.say('mara', line);
    expect(reply.refused).toBe(true);
    expect(text(reply)).toContain(says);
    expect(await w.store.openTripIn('local:main')).toBeUndefined();
  });

  test('one channel holds one open trip, and another after it was closed', async () => {
    await w.say('mara', '/trip open name:First zone:Europe/Oslo');
    const second = await w.say('mara', '/trip open name:Second zone:Europe/Oslo');
    expect(text(second)).toContain(
      'First is open in this channel; one channel holds one open trip.',
    );
    await w.say('mara', '/trip close');
    expect(
      (await w.say('mara', '/trip open name:Second zone:Europe/Oslo')).refused,
    ).toBeUndefined();
    expect((await w.trip()).state.name).toBe('Second');
  });
});

describe('several at once', () => {
  const wall = { channel: 'c-wall', guild: 'g-1', user: '900000000000000001' };
  const slab = { channel: 'c-slab', guild: 'g-1', user: '900000000000000002' };
  const far = { channel: 'c-far', guild: 'g-2', user: '900000000000000003' };

  test('channels and servers keep their trips apart', async () => {
    for (const [place, name] of [
      [wall, 'Wall'],
      [slab, 'Slab'],
      [far, 'Far'],
    ] as const) {
      await ask(w, place, 'trip open', { name, zone: 'Europe/Oslo' });
      await ask(w, place, 'roster add', { name: `${name} climber` });
    }
    for (const [place, name] of [
      [wall, 'Wall'],
      [slab, 'Slab'],
      [far, 'Far'],
    ] as const) {
      const said = text(await ask(w, place, 'trip show'));
      expect(said).toContain(`${name}: Preparing`);
      expect(said).toContain(`${name} climber climbing`);
    }
    expect((await w.store.openTripIn('c-far'))?.guild).toBe('g-2');
    const stranger = await ask(w, { ...far, user: wall.user }, 'trip depart');
    expect(text(stranger)).toContain('You may look at Far');
  });

  test('a button acts on its own trip wherever it is pressed', async () => {
    await ask(w, wall, 'trip open', { name: 'Wall', zone: 'Europe/Oslo' });
    await ask(w, slab, 'trip open', { name: 'Slab', zone: 'Europe/Oslo' });
    const trip = (await w.store.openTripIn('c-wall'))?.id as string;
    const edited = await ask(w, wall, 'trip edit', { units: 'ft' });
    const undone = await press(w, { ...wall, channel: 'c-slab', trip }, edited, 'Undo');
    expect(text(undone)).toContain('Struck: trip edited: units');
    expect(text(await ask(w, wall, 'topo show'))).not.toContain('ft');
  });

  test('in a direct message the one open trip of the asker is meant; of two, neither', async () => {
    const dm = { user: wall.user, channel: 'dm-1', direct: true };
    expect(text(await ask(w, dm, 'trip show'))).toContain('No trip is open in this channel.');
    await ask(w, wall, 'trip open', { name: 'Wall', zone: 'Europe/Oslo' });
    expect(text(await ask(w, dm, 'trip show'))).toContain('Wall: Preparing');
    await ask(w, { ...far, user: wall.user }, 'trip open', { name: 'Far', zone: 'Europe/Oslo' });
    const both = text(await ask(w, dm, 'trip show'));
    expect(both).toContain('You are on 2 open trips');
    expect(both).toContain('Use the command in the channel of the one you mean.');
  });
});

describe('editing', () => {
  beforeEach(() => openDemo(w));

  test('says only what changed, and Undo puts it back', async () => {
    const reply = await w.say(
      'mara',
      '/trip edit lead_line:60 lead_margin:8 start:6:30 haul_bag:yes bag_kg:35',
    );
    expect(text(reply)).toContain('Lead line 60 m, 8 m kept back on a link.');
    expect(text(reply)).toContain('Hauling a bag of 35 kg.');
    expect(text(reply)).toContain('Climbing from 06:30');
    expect(text(reply)).not.toContain('Emergency number');
    await w.say('mara', '[Undo]');
    expect((await w.trip()).state.settings).toMatchObject({ leadLineM: 70, haulBag: false });
  });

  test('ropes are read in the units of the trip', async () => {
    await w.say('mara', '/trip edit units:ft');
    await w.say('mara', '/trip edit lead_line:200');
    expect((await w.trip()).state.settings.leadLineM).toBe(200 * 0.3048);
  });

  // Mile, pound and foot by their exact definitions (NIST SP 811, appendix B).
  test('in a trip of feet, ways up and down are feet, and answers speak of miles and pounds', async () => {
    const reply = await w.say(
      'mara',
      '/trip edit units:ft haul_bag:yes bag_kg:35 descent_km:4 descent_down:2000 haul_line:200',
    );
    const { settings } = (await w.trip()).state;
    expect(settings).toMatchObject({ descentDownM: 609.6, haulLineM: 60.96 });
    expect(text(reply)).toContain('Descent 2.5 mi, 0 ft up, 2000 ft down.');
    expect(text(reply)).toContain('Hauling a bag of 77 lb.');
    expect(text(reply)).toContain('Haul line 200 ft.');
  });

  test('a nightly word is promised by a 12-hour time too', async () => {
    expect((await w.say('mara', '/checkin plan nightly:9pm')).refused).toBeUndefined();
    const { typed, data } = (await w.trip()).history.at(-1)!;
    expect([typed, data]).toEqual(['9pm', { clock: '21:00' }]);
  });

  test.each([
    ['6am', '06:00'],
    ['"6:30 am"', '06:30'],
    ['600', '06:00'],
    ['0615', '06:15'],
    ['12:05am', '00:05'],
  ])('the day starts at %s', async (typed, clock) => {
    await w.say('mara', `/trip edit start:${typed}`);
    expect((await w.trip()).state.settings.startClock).toBe(clock);
  });

  test.each([
    ['/trip edit', 'Nothing to change'],
    ['/trip edit start:6', "start: 6 isn't a clock time"],
    ['/trip edit haul_line:10', '20'],
    ['/trip edit descent_down:4500', "descent_down: 4500 m can't be right; 0 m to 4000 m."],
    ['/trip edit lead_line:130', "lead_line: 130 m can't be right; 20 m to 120 m."],
    ['/trip edit units:ft lead_line:20', "lead_line: 20 ft can't be right; 66 ft to 394 ft."],
    ['/trip edit lead_margin:50', "lead_margin: 50 m can't be right; 0 m to 30 m."],
    ['/trip edit start:25:00', "start: 25:00 isn't a clock time like 06:00 or 6am."],
    ['/trip edit lat:3', 'A place needs both'],
  ])('%s is refused: %s', async (line, says) => {
    const before = (await w.trip()).state;
    const reply = await w.say('mara', line);
    expect(text(reply)).toContain(says);
    expect((await w.trip()).state).toEqual(before);
  });
});

describe('phases', () => {
  beforeEach(() => openDemo(w));

  test('depart, down, close; each once, each to be undone or its time changed', async () => {
    const left = await w.say('mara', '/trip depart at:06:00');
    expect(text(left)).toContain('Departed at 06:00.');
    expect(labels(left)).toEqual(['Undo', 'Change the time']);
    expect(text(await w.say('greta', '/trip depart'))).toContain('Departed at 06:00 already');
    await w.say('mara', '[Change the time] at:05:50');
    expect(modeOf((await w.trip()).state, w.clock.wallMs()).is).toBe('going in');
    w.at('2031-06-12 20:00');
    const close = await w.say('mara', '/trip close');
    expect(close.refused).toBe(true);
    expect(text(close)).toContain('Nobody has said that everyone is down.');
    expect(labels(close)).toEqual(['Everyone is down', 'Close all the same']);
    await w.say('mara', '[Everyone is down]');
    expect(modeOf((await w.trip()).state, w.clock.wallMs()).is).toBe('down');
    expect(text(await w.say('mara', '/trip close'))).toContain('Harrow Tower is closed.');
    expect(text(await w.say('mara', '/pitch done'))).toContain('No trip is open in this channel.');
    expect(text(await w.say('mara', '/log show'))).toContain('trip closed');
  });

  test('down from low on the wall is asked back; nothing is recorded before the press', async () => {
    await w.say('mara', '/trip depart at:06:00');
    w.at('2031-06-12 08:00');
    await w.say('greta', '/pitch done at:07:00');
    const asked = await w.say('greta', '/trip down at:07:50');
    expect(asked.refused).toBe(true);
    expect(text(asked)).toBe(
      'By the log pitch 1 of 8 is the last done, at 07:00. Is everyone off the wall and safe?\n' +
        'Nothing is recorded yet. Everyone down ends the watch: nobody is alerted after it.',
    );
    expect(labels(asked)).toEqual(['Yes, everyone is down', 'I meant pitch 2 done']);
    expect((await w.trip()).state.downAtMs).toBeUndefined();
    await w.say('greta', '[Yes, everyone is down]');
    expect((await w.trip()).state.downAtMs).toBe(instant(ZONE, '2031-06-12 07:50'));
  });

  test('the pitch was meant, not the ground', async () => {
    await w.say('mara', '/trip depart at:06:00');
    w.at('2031-06-12 08:00');
    await w.say('greta', '/pitch done at:07:00');
    await w.say('greta', '/trip down');
    await w.say('greta', '[I meant pitch 2 done]');
    const { state } = await w.trip();
    expect([state.downAtMs, state.pitches[1]?.done?.atMs]).toEqual([undefined, w.clock.wallMs()]);
  });

  test('down from the upper half is taken as told', async () => {
    await w.say('mara', '/trip depart at:06:00');
    w.at('2031-06-12 18:00');
    await w.say('greta', '/pitch done number:4 at:11:00');
    await w.say('greta', '[1–3 as well, same time]');
    expect((await w.say('greta', '/trip down')).refused).toBeUndefined();
  });

  test('closing all the same takes a second press', async () => {
    await w.say('mara', '/trip depart');
    await w.say('mara', '/trip close');
    await w.say('mara', '[Close all the same]');
    expect((await w.trip()).row.status).toBe('closed');
  });

  test('departing after the first post offers the time of that post', async () => {
    w.at('2031-06-12 07:30');
    await w.say('greta', '/pitch start number:1 at:06:20');
    const refused = await w.say('mara', '/trip depart');
    expect(text(refused)).toContain('Pitches were told from 06:20 on, so you left before.');
    expect(text(await w.say('mara', '[Departed 06:20]'))).toContain('Departed at 06:20.');
    expect((await w.trip()).state.departedAtMs).toBeDefined();
  });

  test('what is missing before a party may well depart is said', async () => {
    await w.say('mara', '/roster remove who:Dana');
    expect(text(await w.say('mara', '/trip show'))).toMatch(/contact at home/);
    expect(text(await w.say('mara', '/trip depart'))).toMatch(/contact/i);
  });
});

describe('purging', () => {
  const secret = 'Zebedee-Quillfeather';

  /** In the bytes of the files, where the store has some; and in a copy of all that it keeps. */
  async function isKept(): Promise<boolean> {
    await w.store.backup(join(w.folder, 'copy.db'));
    return readdirSync(w.folder)
      .filter((name) => name.startsWith('trips.db') || name === 'copy.db')
      .some((name) => readFileSync(join(w.folder, name)).includes(secret));
  }

  test('asks first, then everything is gone, from the bytes of the files too', async () => {
    await openDemo(w);
    await w.say('mara', `/roster add name:${secret} role:contact medical:"allergic, ${secret}"`);
    expect(await isKept()).toBe(true);
    await w.say('mara', '/trip depart');
    const early = await w.say('mara', '/trip purge');
    expect(text(early)).toContain('is still open; close it first: /trip close.');
    await w.say('mara', '/trip close');
    await w.say('mara', '[Close all the same]');
    expect(text(await w.say('greta', '/trip purge'))).toContain(
      'Only Mara, who opened Harrow Tower',
    );
    const asked = await w.say('mara', '/trip purge');
    expect(asked.private).toBe(true);
    expect(labels(asked)).toEqual(['Erase for good']);
    expect(await isKept()).toBe(true);
    const done = await w.say('mara', '[Erase for good]');
    expect(text(done)).toBe('Erased. Nothing of that trip is kept.');
    expect(await isKept()).toBe(false);
    expect(text(await w.say('mara', '/log show'))).toContain('No trip is open in this channel.');
    expect(text(await w.say('mara', '/trip purge'))).toContain('No trip is open in this channel.');
  });

  test('a stranger can neither purge nor press the button', async () => {
    await openDemo(w);
    await w.say('mara', '/trip close');
    const row = await w.store.lastTripIn('local:main');
    const from = { user: 'local:stray', name: 'Stray', channel: 'local:main' };
    for (const raw of [{}, { sure: row?.id as string }]) {
      expect(text(await ask(w, from, 'trip purge', raw))).toContain('You may look at Harrow Tower');
    }
    expect((await w.trip()).state.name).toBe('Harrow Tower');
  });

  test('an older trip of the same channel can be purged after the newer one', async () => {
    for (const name of ['First', 'Second']) {
      await w.say('mara', `/trip open name:${name} zone:Europe/Oslo`);
      await w.say('mara', '/trip close');
    }
    await w.say('mara', '/trip purge');
    await w.say('mara', '[Erase for good]');
    expect(text(await w.say('mara', '/trip purge'))).toContain('Erase First');
  });
});
