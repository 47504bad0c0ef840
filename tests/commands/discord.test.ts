import { mkdtempSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { commands } from '../../commands/index.ts';
import type { OptionDef } from '../../src/app/command.ts';
import { ScriptClock } from '../../src/chat/local/script-clock.ts';
import { createLog } from '../../src/system/log.ts';
import { countingIds } from '../chat/fakes.ts';
import { type GivenFile, startStand } from '../discord/driver.ts';
import { bareBot, startDiscord } from '../helpers/bot.ts';
import { ROOM } from '../helpers/room.ts';
import { testStore } from '../helpers/store.ts';
import { TOPO } from '../helpers/world.ts';

/**
 * The real commands on a real file, through the real client, against the stand-in: one climb told in
 * order, each test going on where the one before it stopped. Restarts keep the file, nothing else.
 */
const folder = mkdtempSync(join(ROOM, 'tagline-discord-'));
const clock = new ScriptClock(Date.UTC(2031, 5, 12, 4, 0));
const stand = await startStand({ clock });
const [mara, jonas, ines, greta, stray] = ['Mara', 'Jonas', 'Ines', 'Greta', 'Stray'].map((name) =>
  stand.addUser(name),
) as [User, User, User, User, User];
const guild = stand.addGuild('Lantern Gorge', [mara, jonas, ines, greta, stray]);
const wall = stand.addChannel(guild, 'harrow-tower');
const ids = countingIds();
type User = ReturnType<typeof stand.addUser>;

const driven = new Set<string>();
const types = new Set<OptionDef['type']>();
let running: Awaited<ReturnType<typeof start>>;

async function start() {
  const store = testStore(join(folder, 'trips.db'));
  const app = bareBot({ store, clock, ids, log: createLog('silent') });
  const chat = await startDiscord({ app, token: stand.token, apiUrl: stand.apiUrl });
  return { store, chat };
}

async function stop(): Promise<void> {
  await running.chat.close();
  await running.store.close();
}

async function slash(who: User, path: string, options: Record<string, Given> = {}) {
  driven.add(path);
  const [name, sub] = path.split(' ');
  const command = commands.find((c) => c.name === name);
  const defs = (sub === undefined ? command?.bare : command?.subs?.[sub])?.options ?? {};
  for (const option of Object.keys(options)) types.add((defs[option] as OptionDef).type);
  return stand.slash(who, wall, `/${path}`, options);
}
type Given = string | number | boolean | User | GivenFile;

const csv = (text: string): GivenFile => ({
  name: 'harrow.csv',
  bytes: new TextEncoder().encode(text),
});
const at = (hour: number, minute = 0) => clock.moveTo(Date.UTC(2031, 5, 12, hour - 2, minute));

beforeAll(async () => {
  running = await start();
  await stand.commandsRegistered();
});
afterAll(async () => {
  await stop();
  await stand.close();
  rmSync(folder, { recursive: true, force: true });
});

test('before the climb: trip, topo from an attached file, roster with accounts, leads', async () => {
  expect((await slash(mara, 'help')).text).toContain('No trip is open here.');
  const opened = await slash(mara, 'trip open', {
    name: 'Harrow *Tower*',
    zone: 'Europe/Oslo',
    lat: 62.31,
    lon: 6.84,
    confidence: 80,
    emergency: '112',
  });
  expect(opened.text).toContain('Harrow \\*Tower\\* is open in this channel.');
  expect(opened.private).toBe(false);
  expect((await slash(mara, 'topo load', { file: csv('pitch,length_m\n1,far\n') })).text).toContain(
    'Row 2, length\\_m: "far" isn',
  );
  expect((await slash(mara, 'topo load', { file: csv(TOPO) })).text).toContain('8 pitches, 293 m.');
  for (const [user, free] of [
    [mara, '6c'],
    [jonas, '6a+'],
    [ines, '6c'],
  ] as const) {
    const added = await slash(mara, 'roster add', { name: user.name, user, free, aid: 'A2' });
    expect(added.text).toContain(`leads free to ${free}`);
    expect(added.private).toBe(true);
  }
  await slash(mara, 'roster add', { name: 'Greta', role: 'ground', user: greta });
  await slash(mara, 'roster add', { name: 'Dana', role: 'contact', phone: '+47 000 00 009' });
  expect((await slash(ines, 'roster edit', { who: 'Ines', age: 31, leads: true })).private).toBe(
    true,
  );
  await slash(mara, 'topo edit', {
    number: 9,
    length: '20 m',
    free: '5.8',
    minutes: 12.5,
    rappel: 'yes',
  });
  expect((await slash(mara, 'topo remove', { number: 9 })).text).toContain('8 are left');
  await slash(mara, 'trip edit', { ropes: 'lead 70', bag: '30.5 kg' });
  expect((await slash(stray, 'topo show')).text).toContain('6b A1');
  await slash(mara, 'lead order', { rule: 'block', n: 2, names: 'Ines, Mara' });
  await slash(mara, 'lead order', { rule: 'swing' });
  await slash(mara, 'lead link', { pitch: 6 });
  await slash(mara, 'lead unlink', { pitch: 6 });
  const shown = await slash(jonas, 'lead assign', { pitch: 3, leader: 'Mara' });
  expect(shown.private).toBe(true);
  expect((await stand.press(jonas, shown, 'Assign it')).text).toContain('Pitch 3: Mara leads');
  // The question was for Jonas alone; its button is spent all the same.
  await expect(stand.press(jonas, shown, 'Assign it')).rejects.toThrow('greyed out');
  await slash(mara, 'lead swap', { a: 4, b: 5 });
  expect((await slash(stray, 'lead plan')).text).toContain('Mara');
  expect((await slash(stray, 'lead next')).text).toContain('Next: pitch 1, 38 m, 5c.');
  expect((await slash(stray, 'trip show')).text).toContain('Preparing');
});

test('suggestions while typing: pitches, people, zones', async () => {
  expect(
    (await stand.autocomplete(mara, wall, '/pitch done', ['number', ''])).map((c) => c.value),
  ).toEqual([1, 2, 3, 4, 5, 6, 7, 8]);
  const people = await stand.autocomplete(mara, wall, '/roster edit', ['who', 'in']);
  expect(people).toEqual([{ name: 'Ines', value: 'Ines' }]);
  const zones = await stand.autocomplete(mara, wall, '/trip open', ['zone', 'oslo']);
  expect(zones).toContainEqual({ name: 'Europe/Oslo', value: 'Europe/Oslo' });
  expect(await stand.autocomplete(mara, wall, '/help', ['about', 'pi'])).toEqual([
    { name: 'pitch', value: 'pitch' },
  ]);
});

test('on the wall: posts by the ground crew, mended by button and form', async () => {
  await slash(mara, 'trip depart');
  at(7);
  await slash(greta, 'pitch start', { number: 1, at: '06:10' });
  await slash(greta, 'pitch fixed', { at: '06:40' });
  const done = await slash(greta, 'pitch done', { number: 1, at: '-10m', leader: 'Mara' });
  expect(done.text).toContain('Pitch 1 done at 06:50 (told 07:00 by Greta): 40 min.');
  expect(done.buttons).toEqual(['Undo', 'Change the time']);
  const form = await stand.press(jonas, done, 'Change the time');
  const mended = await stand.submitModal(jonas, form, { 'When was it?': '06:45' });
  expect(mended.text).toContain('Amended: pitch 1 done at 06:45, Mara led');
  // A time can be picked: with gloves on nobody types.
  const again = await stand.press(jonas, done, 'Change the time');
  const [, list] = again.modal.components;
  expect(list).toMatchObject({ label: 'Or pick it', component: { custom_id: 'at~' } });
  const picked = await stand.submitModal(jonas, again, { 'Or pick it': '2031-06-12T04:50Z' });
  expect(picked.text).toContain('Amended: pitch 1 done at 06:50, Mara led');
  const times = await stand.autocomplete(greta, wall, '/pitch done', ['at', '']);
  expect(times.slice(0, 3).map((t) => t.name)).toEqual([
    '07:00, now',
    '06:55, 5 min ago',
    '06:50, 10 min ago',
  ]);
  expect(await stand.autocomplete(greta, wall, '/pitch done', ['at', '6:40'])).toEqual([
    { name: '06:40, 20 min ago', value: '2031-06-12T04:40Z' },
  ]);
  await slash(greta, 'pitch break', { minutes: 5, number: 1, at: '06:30' });
  await slash(greta, 'pitch amend', { number: 1, at: '06:44' });
  at(8);
  const gap = await slash(greta, 'pitch done', { number: 3 });
  expect(gap.private).toBe(true);
  expect(gap.text).toContain("Pitch 2 isn't done yet, so 3 can't be.");
  const both = await stand.press(greta, gap, '2 as well, same time');
  expect(both.text).toContain('Pitches 2 and 3 done at 08:00.');
  const struck = await slash(mara, 'pitch strike', { number: 3, why: 'wrong party' });
  expect(struck.text).toContain('Struck: pitch 3 done at 08:00');
  expect((await stand.press(ines, struck, 'Undo')).text).toContain('Brought back: pitch 3 done');
});

test('what a relay wrote becomes a post, once somebody has looked it over', async () => {
  const said = stand.say(greta, wall, 'heard: pitch 1 done, 06:48');
  const form = await stand.onMessage(greta, said, 'Use this message as a post');
  expect(form.modal.components).toMatchObject([
    { label: 'What happened', component: { type: 3 } },
    { label: 'Which pitch', component: { type: 3 } },
    { label: 'When', component: { value: '06:48' } },
    { label: 'Who led it, if not as planned', component: { type: 3 } },
  ]);
  // Told before: nothing is told twice, by whichever way it comes.
  expect((await stand.submitModal(greta, form, {})).private).toBe(true);
  const word = stand.say(greta, wall, 'all well up there');
  const ok = await stand.onMessage(greta, word, 'Use this message as a post');
  const answer = await stand.submitModal(greta, ok, {});
  expect(answer.text).toContain('Well at 08:00.');
  const outside = await stand.onMessage(stray, word, 'Use this message as a post');
  expect((await stand.submitModal(stray, outside, {})).private).toBe(true);
});

test('a stranger looks, and is told privately why not more', async () => {
  const refused = await slash(stray, 'pitch done');
  expect(refused.private).toBe(true);
  expect(refused.text).toContain('You may look at Harrow');
  const roster = await slash(stray, 'roster show');
  expect(roster.private).toBe(true);
  expect(roster.text).not.toContain('+47');
  expect((await slash(greta, 'roster show')).text).toContain('+47 000 00 009');
  expect(stand.sees(stray, wall).some((m) => m.content.includes('+47'))).toBe(false);
});

test('delivered again, the same answer and nothing more in the record', async () => {
  at(9);
  const done = await slash(greta, 'pitch done', { number: 4 });
  const before = (await slash(greta, 'log show')).text;
  await stand.redeliver(done.interaction);
  expect((await slash(greta, 'log show')).text).toBe(before);
});

test('after a restart the old buttons still work, and nothing is registered anew', async () => {
  const done = await slash(greta, 'pitch done', { number: 5 });
  const puts = () => stand.journal.of('request').filter((r) => r.method === 'PUT').length;
  const before = puts();
  await stop();
  running = await start();
  await stand.ready();
  expect((await stand.press(jonas, done, 'Undo')).text).toContain('Struck: pitch 5 done');
  const form = await stand.press(jonas, done, 'Change the time');
  expect((await stand.submitModal(jonas, form, { at: '08:55' })).text).toContain(
    'is struck already',
  );
  expect(puts()).toBe(before);
});

test('in a direct message it is the trip one is on; a stranger has none', async () => {
  const answer = await stand.slash(ines, stand.dm(ines), '/lead next');
  expect(answer.text).toContain('pitch 5');
  expect((await stand.slash(stray, stand.dm(stray), '/lead next')).text).toContain(
    'No trip is open',
  );
});

test('every other command answers too, in a form that Discord takes', async () => {
  for (const command of commands) {
    for (const [path, sub] of [
      ...(command.bare === undefined ? [] : [[command.name, command.bare] as const]),
      ...Object.entries(command.subs ?? {}).map(
        ([name, s]) => [`${command.name} ${name}`, s] as const,
      ),
    ]) {
      if (driven.has(path) || ENDS.includes(path)) continue;
      const needed = Object.entries(sub.options).filter(([, def]) => def.required === true);
      const options = Object.fromEntries(needed.map(([name, def]) => [name, sample(def)]));
      const answer = await slash(mara, path, options);
      expect([path, answer.text]).toEqual([path, expect.stringMatching(/./)]);
      expect([path, answer.text]).toEqual([
        path,
        expect.not.stringMatching(/went wrong|undefined/),
      ]);
    }
  }
});

const ENDS = ['trip down', 'trip close', 'trip purge', 'log export', 'roster remove'];

function sample(def: OptionDef): Given {
  if ('choices' in def && def.choices?.[0] !== undefined) return def.choices[0].value;
  if (def.type === 'file') return csv('departs\n');
  if (def.type === 'user') return mara;
  if (def.type === 'boolean') return true;
  if (def.type === 'string') return '22:00'.padEnd('minLength' in def ? (def.minLength ?? 0) : 0);
  return Math.max(1, 'min' in def ? (def.min ?? 1) : 1);
}

test('down, the record as two files, closed and purged', async () => {
  at(20);
  await slash(mara, 'roster remove', { who: 'Jonas', reason: 'went home' });
  expect((await slash(mara, 'trip close')).text).toContain(
    'Nobody has said that everyone is down.',
  );
  expect((await slash(mara, 'trip down')).text).toContain('Everyone down at 20:00.');
  const out = await slash(mara, 'log export');
  expect(out.private).toBe(true);
  expect(out.message.files.map((f) => f.attachment.filename)).toEqual([
    'harrow-tower-record.jsonl',
    'harrow-tower-record.csv',
  ]);
  expect((await slash(mara, 'trip close')).text).toContain('is closed.');
  const asked = await slash(mara, 'trip purge');
  expect((await stand.press(mara, asked, 'Erase for good')).text).toContain('Erased.');
});

test('every command was driven, with every option type, and Discord refused no answer', () => {
  const all = commands.flatMap((c) =>
    c.subs === undefined ? [c.name] : Object.keys(c.subs).map((name) => `${c.name} ${name}`),
  );
  expect([...driven].sort()).toEqual(all.sort());
  expect([...types].sort()).toEqual(['boolean', 'file', 'integer', 'number', 'string', 'user']);
  // A delivery that came twice is answered twice; Discord takes the first answer (error 40060).
  expect(stand.refusals().map((r) => r.code)).toEqual([40060]);
  const pinged = stand.journal.of('message').flatMap((m) => m.pings.users);
  expect(pinged.filter((id) => id === stray.id)).toEqual([]);
});
