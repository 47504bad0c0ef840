import type { FastifyInstance } from 'fastify';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { saidBy, type WayTo } from '../../../src/alarm/consent.ts';
import { reachable } from '../../../src/alarm/who.ts';
import { buildPageServer } from '../../../src/page/server/server.ts';
import { type OnPage, onPage } from '../server/trip-on-page.ts';
import { posting, stateOf, visit } from './visitor.ts';

let on: OnPage;
let server: FastifyInstance;
let way: WayTo;
let path: string;

beforeEach(async () => {
  on = await onPage();
  server = await buildPageServer(on.settings);
  await on.w.say('mara', '/roster add name:Edda role:contact email:edda@example.org ways:email');
  way = { person: 'edda', way: 'email', to: 'edda@example.org' };
  path = `/a/${on.trip}/${on.app.invitations.token(on.trip, way)}`;
});
afterEach(async () => {
  await server.close();
  await on.close();
});

const state = () => stateOf(on);
const said = async () => saidBy(await state(), way);
const press = (body: string, type: string) =>
  server.inject({ method: 'POST', url: path, headers: { 'content-type': type }, payload: body });

describe('where a contact says whether they want to be one', () => {
  it('shows who asks and what it means, and nothing of the trip', async () => {
    const page = await visit(server, path);
    expect(page.status).toBe(200);
    expect(page.text).toContain('Mara asks you to be check-in contact for a climb, “Harrow Tower”');
    expect(page.text).not.toMatch(/Jonas|Ines|Lantern|112|pitch/u);
    // What the message says of each answer, and of none, stands here too.
    expect(page.text).toContain('If you do not answer, there is one more message only if');
    expect(page.buttons).toEqual(['Yes, I will', 'No', 'Deutsch']);
    expect(page.headers['referrer-policy']).toBe('no-referrer');
  });

  it('opened by whoever looks at mails before they arrive, it changes nothing', async () => {
    for (const method of ['GET', 'HEAD'] as const) await server.inject({ method, url: path });
    await server.inject({ method: 'GET', url: `${path}?answer=yes` });
    expect(await said()).toBe('asked');
  });

  it('a yes leads to their own page, a no ends it, and each can be taken back', async () => {
    const yes = await (await visit(server, path)).press('Yes, I will');
    expect(yes.text).toContain('Edda is contact now.');
    const own = /href="([^"]*\/c\/[^"]+)"/u.exec(yes.html)?.[1] ?? '';
    expect((await visit(server, new URL(own).pathname)).text).toContain('Harrow Tower: for Edda');
    expect(await said()).toBe('yes');
    const left = await (await visit(server, path)).press('Leave');
    expect(left.text).toContain('not told of alarms here any more');
    expect((await visit(server, new URL(own).pathname)).status).toBe(404);
    expect(await on.app.invitations.saidNo(way)).toBe(true);
    await left.press('Yes after all');
    expect([await said(), await on.app.invitations.saidNo(way)]).toEqual(['yes', false]);
  });

  it('of another person, another trip or made up, it does not open', async () => {
    const dana = { person: 'dana', way: 'email', to: 'dana@example.org' } as const;
    const wrong = [
      `/a/${on.trip}/${'0'.repeat(40)}`,
      `/a/t0000000/${on.app.invitations.token(on.trip, way)}`,
      `/a/${on.trip}/${on.app.invitations.token('t0000000', way)}`,
      `/c/${on.trip}/edda/${on.app.invitations.token(on.trip, way)}`,
    ];
    for (const one of wrong) expect((await visit(server, one)).status, one).toBe(404);
    const theirs = await visit(server, `/a/${on.trip}/${on.app.invitations.token(on.trip, dana)}`);
    expect(theirs.text).not.toContain('Edda');
  });

  it('a form sent twice, or with a word of its own, is one answer', async () => {
    const page = await visit(server, path);
    const forged = await press('answer=yes&sure=true', 'application/x-www-form-urlencoded');
    expect(forged.body).toContain('nothing was done');
    expect(await said()).toBe('asked');
    await page.press('Yes, I will');
    const { seq } = await state();
    await page.press('Yes, I will');
    expect((await state()).seq).toBe(seq);
  });
});

/** RFC 8058, 3.2 and 8.1: the very bytes that it shows. */
const URLENCODED = ['List-Unsubscribe=One-Click', 'application/x-www-form-urlencoded'] as const;
const MULTIPART = [
  '---FormBoundaryjWmhtjORrn\r\nContent-Disposition: form-data; name="List-Unsubscribe"\r\n\r\nOne-Click\r\n---FormBoundaryjWmhtjORrn--\r\n',
  'multipart/form-data; boundary=-FormBoundaryjWmhtjORrn',
] as const;

describe('leaving by the one press of a mail program', () => {
  it.each([URLENCODED, MULTIPART])('is done at once while nobody is out', async (body, type) => {
    await (await visit(server, path)).press('Yes, I will');
    const answer = await press(body, type);
    expect(answer.statusCode).toBe(200);
    expect(answer.headers.location).toBeUndefined();
    expect(answer.headers['set-cookie']).toBeUndefined();
    expect(await said()).toBe('no');
  });

  it('is asked back by message while the party is out, and the party is told', async () => {
    await (await visit(server, path)).press('Yes, I will');
    await on.w.say('dana', '/checkin contact answer:no');
    await on.w.say('mara', '/trip depart');
    await on.w.tick();
    on.w.told.length = 0;
    await press(...URLENCODED);
    await on.w.tick();
    expect(reachable(await state()).map((p) => p.name)).toEqual(['Edda']);
    const byWay = (way: string) => on.w.told.find((t) => t.way === way);
    expect(byWay('channel')?.text).toContain('Edda wants to be contact no more');
    const asked = byWay('email');
    expect(asked?.text).toContain('nothing is changed yet');
    expect(asked?.envelope.asked?.url).toContain(path);
    // In earnest, behind the link of that mail.
    const first = await (await visit(server, path)).press('Leave');
    expect(first.text).toContain('NOBODY at home is told when they are late');
    on.w.told.length = 0;
    const gone = await first.press('Leave all the same');
    await on.w.tick();
    expect(gone.text).toContain('You are told nothing');
    expect(reachable(await state())).toEqual([]);
    expect(byWay('channel')?.text).toContain('NOBODY at home is told now if you are late');
  });

  it('pressed over and over while the party is out, is asked back once, and the party hears it once', async () => {
    await (await visit(server, path)).press('Yes, I will');
    await on.w.say('mara', '/trip depart');
    await on.w.tick();
    on.w.told.length = 0;
    for (let n = 0; n < 30; n++) {
      expect((await press(...URLENCODED)).statusCode).toBe(200);
      await on.w.tick();
    }
    expect(on.w.told.map((t) => [t.way, t.to])).toEqual([
      ['channel', 'local:main'],
      ['email', 'Edda'],
    ]);
    expect(await said()).toBe('yes');
  });

  it('is nothing for who presses something else', async () => {
    await press('List-Unsubscribe=Maybe', 'application/x-www-form-urlencoded');
    await press('no form at all', 'multipart/form-data; boundary=x');
    expect(await said()).toBe('asked');
    expect((await server.inject(posting(path, new URLSearchParams('x=1')))).statusCode).toBe(200);
  });
});
