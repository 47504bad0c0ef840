/**
 * Who may do what. OWASP ASVS 5.0: V8.2.1 (functions for who is permitted), V8.3.1 (held where it can't be
 * got round).
 */
import { afterAll, beforeAll, expect, test } from 'vitest';
import { openDemo, text, type World, world } from '../helpers/world.ts';

let w: World;
beforeAll(async () => {
  w = await world();
  await openDemo(w);
  await w.say('mara', '/trip depart');
});
afterAll(() => w.close());

test.each([
  ['/pitch done number:1'],
  ['/topo remove number:8'],
  ['/trip edit emergency:0900123456'],
  ['/lead order rule:swing'],
  ['/shuttle add times:hourly'],
  ['/rain start'],
])('ASVS V8.2.1: a contact does not edit the wall: %s', async (line) => {
  const before = (await w.trip()).history.length;
  const reply = await w.say('dana', line);
  expect([reply.refused, reply.code]).toEqual([true, 'not-the-wall']);
  expect(text(reply)).toContain('/checkin ok how:radio words:');
  expect((await w.say('stray', line)).code).toBe('not-on-roster');
  expect((await w.trip()).history.length).toBe(before);
});

test('ASVS V8.3.2: who leaves the roster, or becomes a contact, may post nothing from then on', async () => {
  const other = await world();
  await openDemo(other);
  expect((await other.say('greta', '/pitch start')).refused).toBeUndefined();
  await other.say('mara', '/roster edit who:Greta role:contact');
  expect((await other.say('greta', '/pitch fixed')).code).toBe('not-the-wall');
  await other.say('mara', '/roster remove who:Greta');
  expect((await other.say('greta', '/pitch fixed')).code).toBe('not-on-roster');
  await other.close();
});

test('a contact tells what they have heard, and takes back their own word', async () => {
  expect((await w.say('dana', '/checkin ok how:radio words:fine')).refused).toBeUndefined();
  expect((await w.trip()).history.at(-1)?.kind).toBe('watch.ok');
  expect((await w.say('dana', '[Undo]')).refused).toBeUndefined();
  expect((await w.trip()).history.at(-1)?.kind).toBe('log.struck');
  // Somebody else's is not theirs to take.
  expect((await w.say('greta', '/pitch done number:1')).refused).toBeUndefined();
  const { seq } = (await w.trip()).state;
  expect((await w.say('dana', `/pitch strike entry:${seq}`)).code).toBe('not-the-wall');
});

test('a contact who climbs or helps from the ground posts like them', async () => {
  await w.say('mara', '/roster add name:Pål role:contact');
  expect((await w.say('pål', '/pitch done number:2')).code).toBe('not-the-wall');
  await w.say('mara', '/roster edit who:Pål role:ground');
  expect((await w.say('pål', '/rain start')).refused).toBeUndefined();
});
