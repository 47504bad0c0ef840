/**
 * What is kept about people, for how long, and how it goes. OWASP ASVS 5.0, V14.2 (general data protection): V14.2.4
 * (controls as documented), V14.2.7 (what is outdated is deleted by itself, on a schedule).
 */
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { sweep } from '../../src/app/privacy/sweep.ts';
import { followChain } from '../../src/record/chain.ts';
import { openDemo, text, type World, world } from '../helpers/world.ts';

let w: World;
beforeEach(async () => {
  w = await world();
  await openDemo(w);
});
afterEach(() => w.close());

const DOWN = ['/trip depart', '/pitch done number:1', '/trip down', '[Yes, everyone is down]'];
const CLOSED = [...DOWN, '/trip close'];

async function play(lines: readonly string[], who = 'mara'): Promise<void> {
  for (const line of lines) {
    const reply = await w.say(who, line);
    // What is asked back is answered by the next line.
    if (reply.refused && (reply.buttons ?? []).length === 0)
      throw new Error(`${line}: ${text(reply)}`);
  }
}

async function look(local: string): Promise<string[]> {
  w.at(local);
  w.told.length = 0;
  await sweep(w.app);
  await w.tick();
  return w.told.map((t) => t.text).filter((t) => t.includes('will be erased'));
}

const status = async () => (await w.store.trips()).map((t) => t.status);

/** Files of the database in which a text stands as bytes. */
const filesWith = (words: string) =>
  readdirSync(w.folder).filter(
    (f) => f.startsWith('trips.db') && readFileSync(join(w.folder, f)).includes(words),
  );

describe('ASVS V14.2.7: a record erases itself', () => {
  test('90 days after its last word, a week after its channel was told', async () => {
    await play(CLOSED);
    expect(await look('2031-09-02 12:00')).toEqual([]);
    const [told] = await look('2031-09-04 12:00');
    expect(told).toContain('erases itself on 11 Sep 2031');
    expect(await look('2031-09-05 12:00')).toEqual([]);
    await look('2031-09-10 12:00');
    expect(await status()).toEqual(['closed']);
    expect(filesWith('dana@example.org')).not.toEqual([]);
    await look('2031-09-11 12:00');
    expect(await status()).toEqual([]);
    expect(filesWith('dana@example.org')).toEqual([]);
  });

  test('never before it was told, however late it is looked', async () => {
    await play(CLOSED);
    expect((await look('2033-01-01 12:00'))[0]).toContain('on 8 Jan 2033');
    await look('2033-01-08 11:00');
    expect(await status()).toEqual(['closed']);
    await look('2033-01-08 13:00');
    expect(await status()).toEqual([]);
  });

  test.each([
    ['a party is out', ['/trip depart', '/pitch done number:1']],
    [
      'it was closed while out',
      ['/trip depart', '/pitch done number:1', '/trip close', '[Close all the same]'],
    ],
  ])('never while %s', async (_, lines) => {
    await play(lines);
    expect(await look('2040-01-01 12:00')).toEqual([]);
    await look('2041-01-01 12:00');
    expect((await w.store.trips()).length).toBe(1);
  });

  test('a post after it was told keeps it, and it is told anew', async () => {
    await play(DOWN);
    expect(await look('2031-09-06 12:00')).toHaveLength(1);
    await play(['/roster edit who:Greta phone:"+47 111 11 111"'], 'greta');
    await look('2031-09-12 12:00');
    expect(await status()).toEqual(['open']);
    expect(await look('2031-12-01 12:00')).toHaveLength(1);
  });

  test('sooner where the trip says so, and the channel is told when', async () => {
    expect(text(await w.say('mara', '/privacy keep days:91'))).toContain(
      'no record for longer than 90 days',
    );
    expect(text(await w.say('mara', '/privacy keep days:6'))).toContain(
      '6 days after its last word',
    );
    await play(DOWN);
    expect(text(await w.say('mara', '/trip close'))).toContain('It erases itself on 18 Jun 2031');
    expect((await look('2031-06-15 12:00'))[0]).toContain('on 18 Jun 2031');
    await look('2031-06-18 12:00');
    expect(await status()).toEqual([]);
  });

  test('a squatted channel comes free: what nobody departs on goes as well, but not a plan for later', async () => {
    await play(['/checkin plan callout:"2032-06-10 22:00"']);
    await look('2031-12-01 12:00');
    await look('2031-12-20 12:00');
    expect(await status()).toEqual(['open']);
    await look('2032-09-05 12:00');
    await look('2032-09-13 12:00');
    expect(await status()).toEqual([]);
  });

  test('not while the announcement waits to be sent', async () => {
    await play(CLOSED);
    w.at('2031-09-05 12:00');
    await sweep(w.app);
    w.at('2031-09-20 12:00');
    await sweep(w.app);
    expect(await status()).toEqual(['closed']);
  });
});

describe('/privacy shows and erases what is kept about oneself', () => {
  test('ASVS V14.2.4: shown to whom it is about, with everything that was given', async () => {
    await play(['/roster edit who:Ines phone:"+47 222 22 222" medical:"asthma" age:34']);
    await play(['/pitch done number:1'], 'ines').catch(() => undefined);
    const said = text(await w.say('ines', '/privacy show'));
    expect(said).toContain('Kept about you on one trip:');
    for (const word of ['Ines, climber', '+47 222 22 222', 'asthma', '34'])
      expect(said).toContain(word);
    expect(text(await w.say('stray', '/privacy show'))).toBe('Nothing is kept about you here.');
    expect(text(await w.say('jonas', '/privacy show'))).not.toContain('asthma');
  });

  test('gone from the file, the others keep their record, and its chain holds', async () => {
    await play(['/roster edit who:Ines phone:"+47 222 22 222" medical:"asthma"']);
    await play(['/trip depart']);
    await play(['/checkin ok words:"Ines is cold, says Ines"'], 'ines');
    await play(['/pitch done number:1 leader:Ines', ...DOWN.slice(2), '/trip close']);
    const asked = await w.say('ines', '/privacy erase');
    expect(text(asked)).toContain("It can't be brought back.");
    expect(text(await w.say('ines', '[Erase it for good]'))).toContain('Harrow Tower: erased.');
    for (const word of ['Ines', 'ines', '222 22', 'asthma'])
      expect([word, filesWith(word)]).toEqual([word, []]);
    const { row, state } = await w.trip();
    expect(state.people.map((p) => p.name)).toEqual(['Mara', 'Jonas', 'Person 3', 'Greta', 'Dana']);
    expect(state.pitches[0]?.done?.leader).toBe('person-3');
    expect(await followChain(await w.store.sealed(row.id), state.seq)).toMatchObject({
      holds: true,
    });
    expect(text(await w.say('mara', '/log verify'))).toContain(
      'Erased on request, as the record says',
    );
    expect(text(await w.say('ines', '/privacy show'))).toBe('Nothing is kept about you here.');
    expect(text(await w.say('dana', '/privacy show'))).toContain('dana@example.org');
  });

  test('of a contact: every address they were asked at, and their browsers', async () => {
    await play([
      '/roster add name:Edda role:contact email:edda.private@example.org',
      '/checkin contact answer:again for:Edda',
    ]);
    const { row } = await w.trip();
    const device = { endpoint: 'https://push.example.org/ab12cd', p256dh: 'k3y', auth: 's3cret' };
    await w.app.records.write({
      trip: row.id,
      key: 'device',
      nowMs: w.clock.wallMs(),
      by: { id: 'contact:edda', name: 'Edda' },
      decide: () => [{ kind: 'contact.device', data: { person: 'edda', to: 'd1', ...device } }],
    });
    await play(CLOSED);
    await w.tick();
    await w.say('edda', '/privacy erase');
    expect(text(await w.say('edda', '[Erase it for good]'))).toContain('Harrow Tower: erased.');
    for (const word of ['private@example', 'ab12cd', 'k3y', 's3cret'])
      expect([word, filesWith(word)]).toEqual([word, []]);
    expect((await w.trip()).state.watch.devices).toEqual([]);
  });

  test('of a party that is out it stays, that is said, and it goes by itself afterwards', async () => {
    await play(DOWN.slice(0, 2));
    await w.say('ines', '/privacy erase');
    expect(text(await w.say('ines', '[Erase it for good]'))).toContain(
      'stays while the party is out or an alarm stands, because a rescue may need it',
    );
    await sweep(w.app);
    expect((await w.trip()).state.people[2]?.name).toBe('Ines');
    await play(DOWN.slice(2));
    await sweep(w.app);
    expect((await w.trip()).state.people[2]?.name).toBe('Person 3');
    expect(filesWith('Ines')).toEqual([]);
  });

  test('before the start: who leaves the roster may go at once', async () => {
    await w.say('greta', '/privacy erase');
    expect(text(await w.say('greta', '[Erase it for good]'))).toContain('you are on its roster');
    await play(['/roster remove who:Greta']);
    await sweep(w.app);
    expect(filesWith('Greta')).toEqual([]);
    expect((await w.trip()).state.people.map((p) => p.name)).toContain('Dana');
  });
});
