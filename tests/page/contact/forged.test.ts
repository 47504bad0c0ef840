/**
 * Forms of a contact's pages that were never offered there, belong to somebody else, or come back once more: OWASP
 * ASVS 5.0, V3.5.1 (forged requests), V8.2.2 (nobody else's), V10 and RFC 2104 for what seals them.
 */
import type { FastifyInstance } from 'fastify';
import { parseHTML } from 'linkedom';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { buildPageServer } from '../../../src/page/server/server.ts';
import { climbHalfway, DAY, goSilent, type OnPage } from '../server/trip-on-page.ts';
import { everyWayOn, ownPath, posting, stateOf, visit, waysNow } from './visitor.ts';

const NOTHING = 'nothing was done';
const PAGES = ['', '/push', '/ntfy', '/ways'];

let on: OnPage;
let server: FastifyInstance;
let dana: string;
let edda: string;

beforeEach(async () => {
  on = await everyWayOn({ phones: true });
  server = await buildPageServer(on.settings);
  await on.w.say(
    'mara',
    '/roster add name:Edda role:contact email:edda@example.org phone:"+47 900 00 000" ways:"e-mail, phone"',
  );
  await on.w.say('edda', '/checkin contact answer:yes');
  dana = await ownPath(on.settings.links, on.trip, 'dana');
  edda = await ownPath(on.settings.links, on.trip, 'edda');
});
afterEach(async () => {
  await server.close();
  await on.close();
});

const seq = async () => (await stateOf(on)).seq;

/** Every form of a page, as it would be sent. */
async function formsOf(path: string): Promise<URLSearchParams[]> {
  const { document } = parseHTML((await visit(server, path)).html);
  return [...document.querySelectorAll('form')].map((form) => {
    const body = new URLSearchParams();
    for (const field of form.querySelectorAll('input')) {
      body.set(field.getAttribute('name') ?? '', field.getAttribute('value') ?? '');
    }
    return body;
  });
}
const send = async (path: string, body: URLSearchParams) =>
  (await server.inject(posting(path, body))).body;

describe('a form that was not offered there', () => {
  it('with another contact’s seal does nothing on any page', async () => {
    await climbHalfway(on);
    await goSilent(on);
    let tried = 0;
    for (const page of PAGES) {
      for (const form of await formsOf(edda + page)) {
        const before = await seq();
        expect(await send(dana + page, form), page).toContain(NOTHING);
        expect(await seq()).toBe(before);
        tried += 1;
      }
    }
    expect(tried).toBeGreaterThan(PAGES.length);
    expect([await waysNow(on, 'dana'), await waysNow(on, 'edda')]).toEqual([
      ['dm', 'email'],
      ['email', 'phone'],
    ]);
  });

  it('with one letter of what it carries changed does nothing on any page', async () => {
    for (const page of PAGES) {
      const before = await seq();
      for (const form of await formsOf(dana + page)) {
        const what = form.get('what') ?? '';
        form.set('what', what.replace('"once":"', '"once":"x'));
        expect(await send(dana + page, form), page).toContain(NOTHING);
        form.delete('what');
        expect(await send(dana + page, form), page).toContain(NOTHING);
      }
      expect(await seq()).toBe(before);
    }
  });

  it('asks for no more than it asked for: fields of one’s own are left alone', async () => {
    const [form] = await formsOf(`${dana}/ways`);
    form?.set('f.who', 'edda');
    form?.set('f.place.phone', '1');
    form?.set('f.path', 'trip down');
    await send(`${dana}/ways`, form ?? new URLSearchParams());
    expect(await waysNow(on, 'edda')).toEqual(['email', 'phone']);
    expect((await stateOf(on)).downAtMs).toBeUndefined();
  });
});

describe('a form that comes back once more', () => {
  it('does not undo what was chosen since', async () => {
    const [old] = await formsOf(`${edda}/ways`);
    if (old === undefined) throw new Error('no form');
    for (const [name, value] of [
      ['f.place.email', '1'],
      ['f.place.phone', '2'],
      ['f.from.email', 'always'],
      ['f.from.phone', 'distress'],
    ] as const)
      old.set(name, value);
    await send(`${edda}/ways`, old);
    const next = await visit(server, `${edda}/ways`);
    await next.press('Keep it so', {
      'place.phone': '1',
      'place.email': '2',
      'from.phone': 'always',
    });
    expect(await waysNow(on, 'edda')).toEqual(['phone', 'email']);
    const before = await seq();
    await send(`${edda}/ways`, old);
    expect([await waysNow(on, 'edda'), await seq()]).toEqual([['phone', 'email'], before]);
  });

  it('after the link was renewed opens and changes nothing, on any page', async () => {
    const kept = new Map<string, URLSearchParams[]>();
    for (const page of PAGES) kept.set(page, await formsOf(dana + page));
    await on.w.say('dana', '/overdue link for:Dana end:yes');
    const before = await seq();
    for (const [page, forms] of kept) {
      expect((await visit(server, dana + page)).status, page).toBe(404);
      for (const form of forms) {
        const answer = await server.inject(posting(dana + page, form));
        expect([page, answer.statusCode]).toEqual([page, 404]);
        expect(answer.body).not.toMatch(/Harrow|Dana/u);
      }
    }
    expect(await seq()).toBe(before);
  });

  it('a week after all are down does nothing, on any page', async () => {
    await climbHalfway(on);
    const kept = new Map<string, URLSearchParams[]>();
    for (const page of PAGES) kept.set(page, await formsOf(dana + page));
    await on.w.say('mara', '/trip down');
    expect((await visit(server, dana)).status).toBe(200);
    on.w.at('2031-08-31 14:40');
    const before = await seq();
    for (const [page, forms] of kept) {
      for (const form of forms) {
        expect((await server.inject(posting(dana + page, form))).statusCode, page).toBe(404);
      }
    }
    expect(await seq()).toBe(before);
  });

  it('of an alarm that is over acknowledges no later one', async () => {
    await climbHalfway(on);
    await goSilent(on);
    const forms = await formsOf(dana);
    await on.w.say('greta', '/checkin ok words:"all at ledge 5"');
    on.w.at(`${DAY} 22:40`);
    await on.w.tick();
    for (const form of forms) {
      const { path } = JSON.parse(form.get('what') ?? '{}');
      if (path !== 'overdue ack') continue;
      expect(await send(dana, form)).toContain('The alarm has changed');
    }
    expect((await stateOf(on)).watch.acks).toEqual([]);
  });
});

describe('opened by whoever looks at mails before they arrive', () => {
  it('no page and nothing beside it changes anything, by GET or HEAD, with what a form carries in its address', async () => {
    const { app, trip } = on;
    const asked = app.invitations.token(trip, {
      person: 'edda',
      way: 'email',
      to: 'edda@example.org',
    });
    const [form] = await formsOf(dana);
    const before = await seq();
    for (const path of [...PAGES, '/sheet', '/times.ics', '/push/app.webmanifest']
      .map((p) => dana + p)
      .concat(`/a/${trip}/${asked}`)) {
      for (const query of ['', `?${form}`, '?List-Unsubscribe=One-Click'])
        for (const method of ['GET', 'HEAD'] as const)
          await server.inject({ method, url: path + query });
    }
    expect(await seq()).toBe(before);
  });
});
