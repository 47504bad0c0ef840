/** A contact turns push messages on and off on their own page; who has nothing else is asked by a link. */

import { createHash } from 'node:crypto';
import type { FastifyInstance } from 'fastify';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { reachable } from '../../src/alarm/who.ts';
import { buildPageServer } from '../../src/page/server/server.ts';
import { CODES } from '../../src/say/contact/languages.ts';
import { wordsIn } from '../../src/say/contact/words.ts';
import { text } from '../helpers/world.ts';
import { keysOf, receiver } from '../push/reader.ts';
import { ownPath, posting, stateOf, visit, waysNow } from './contact/visitor.ts';
import { type OnPage, onPage } from './server/trip-on-page.ts';

let on: OnPage;
let server: FastifyInstance;
let path: string;

const PUBLIC =
  'BP4z9KsN6nGRTbVYI_c7VJSPQTBtkgcy27mlmlMoZIIgDll6e3vCYLocInmYWAmS6TlzAC8wEqKK6PBru3jl7A8';

beforeEach(async () => {
  const push = { publicKey: PUBLIC, takes: (url: string) => url.startsWith('https://push.') };
  on = await onPage(undefined, { push });
  server = await buildPageServer(on.settings);
  path = await ownPath(on.settings.links, on.trip, 'dana');
});
afterEach(async () => {
  await server.close();
  await on.close();
});

const state = () => stateOf(on);
const ways = (id: string) => waysNow(on, id);
const browser = (n = 1) => ({ endpoint: `https://push.example.org/b/${n}`, ...keysOf(receiver()) });

/** Fills in what the page's script fills in, and sends the form. */
async function turnOn(at: string, fields: Record<string, string>): Promise<string> {
  const page = await visit(server, at);
  const label = page.buttons.find((one) => /tell me/iu.test(one)) ?? '';
  return (await page.press(label, fields)).html;
}

describe('on a contact’s own page', () => {
  it('they see how they are told, and come to where push is turned on', async () => {
    const page = await visit(server, path);
    expect(page.text).toContain('You are told by direct message, then e-mail.');
    expect(page.html).toContain(`href="${path}/push"`);
  });

  it('without scripts the page says plainly what it needs, and shows no button that does nothing', async () => {
    const page = await visit(server, `${path}/push`);
    expect(page.html).toMatch(
      /<p data-say="script">To turn on push messages a browser needs JavaScript/u,
    );
    expect(page.html).toMatch(/<form[^>]* hidden>/u);
    const policy = String(page.headers['content-security-policy']);
    expect(policy).toContain("script-src 'self'");
    expect((await visit(server, path)).headers['content-security-policy']).not.toContain(
      'script-src',
    );
  });

  it('turned on it goes first; a rehearsal is sent from there; turned off the others stay', async () => {
    expect(await turnOn(`${path}/push`, browser())).toContain(
      'Push messages are on in this browser.',
    );
    expect(await ways('dana')).toEqual(['push', 'dm', 'email']);
    on.w.told.length = 0;
    const page = await visit(server, `${path}/push`);
    await page.press('Try it: send me a rehearsal');
    await on.w.tick();
    expect(on.w.told.map((t) => t.way).sort()).toEqual(['dm', 'email', 'push']);
    const short = on.w.told.find((t) => t.way === 'push')?.envelope.short;
    expect(short?.url).toContain(path);
    expect((await page.press('Turn push messages off')).text).toContain('Push messages are off.');
    expect(await ways('dana')).toEqual(['dm', 'email']);
  });

  it('five browsers at most; the same one twice is one', async () => {
    const first = browser(1);
    for (const one of [first, first, ...[2, 3, 4, 5, 6].map(browser)])
      await turnOn(`${path}/push`, one);
    const { watch } = await state();
    expect(watch.devices.map((d) => d.endpoint)).toEqual(
      [2, 3, 4, 5, 6].map((n) => `https://push.example.org/b/${n}`),
    );
    for (const n of [7, 8, 9]) await turnOn(`${path}/push`, browser(n));
    expect(await turnOn(`${path}/push`, browser(10))).toContain('Try again later.');
  });

  it.each([
    ['another address', { endpoint: 'https://127.0.0.1/x' }],
    ['no address', { endpoint: '' }],
    ['a key that is no point on the curve', { p256dh: Buffer.alloc(65, 4).toString('base64url') }],
    ['a key that is too short', { p256dh: 'BAAA' }],
    ['a secret that is too long', { auth: Buffer.alloc(17).toString('base64url') }],
  ])('%s is refused, and nothing is changed', async (_, fields) => {
    expect(await turnOn(`${path}/push`, { ...browser(), ...fields })).toContain(
      'nothing has changed',
    );
    expect((await state()).watch.devices).toEqual([]);
  });

  it('a form that was not made here does nothing', async () => {
    const forged = new URLSearchParams({
      ...browser(),
      what: '{"path":"push on"}',
      seal: '0'.repeat(64),
    });
    const answer = await server.inject(posting(`${path}/push`, forged));
    expect(answer.body).toContain('nothing was done');
    expect((await state()).watch.devices).toEqual([]);
    const other = await ownPath(on.settings.links, on.trip, 'greta');
    expect((await visit(server, `${other}/push`)).status).toBe(404);
  });

  it('the scripts are the same for everybody and hold nothing of anybody', async () => {
    for (const script of ['/push/worker.js', '/push/page.js']) {
      const { headers, body, statusCode } = await server.inject({ method: 'GET', url: script });
      expect([statusCode, headers['content-type']]).toEqual([
        200,
        'text/javascript; charset=utf-8',
      ]);
      expect(body).not.toMatch(/Dana|Harrow/u);
    }
    const worker = await server.inject({ method: 'GET', url: '/push/worker.js' });
    expect(worker.headers['service-worker-allowed']).toBe('/');
    for (const language of CODES)
      expect(worker.body).toContain(wordsIn(language).text('push.lost'));
  });
});

describe('a contact who has nothing but a browser', () => {
  const link = async () => {
    const added = text(await on.w.say('mara', '/roster add name:Edda role:contact ways:push'));
    expect(added).toContain('Send this link to Edda yourself');
    return new URL(/https:\S+/u.exec(added)?.[0] ?? '').pathname;
  };

  it('gets a link from the party, and nothing from us before a yes', async () => {
    const asked = await link();
    await on.w.tick();
    expect(on.w.told.filter((t) => t.to === 'Edda')).toEqual([]);
    expect(reachable(await state()).map((p) => p.id)).toEqual(['dana']);
    const page = await visit(server, asked);
    expect(page.text).toContain('Mara asks you to be check-in contact');
    expect(page.text).not.toMatch(/Jonas|Lantern|112/u);
    expect(page.html).toContain('Yes, tell me on this device');
    const shown = text(await on.w.say('mara', '/roster show'));
    expect(shown).toContain(
      'Edda: check-in contact, push, by a link that you pass on, NOT CONFIRMED',
    );
  });

  it('says yes by turning push on, is told by it, and leaves there', async () => {
    const asked = await link();
    expect(await turnOn(asked, browser())).toContain('To your own page');
    expect(await ways('edda')).toEqual(['push']);
    await on.w.say('mara', '/trip depart');
    await on.w.tick();
    expect(on.w.told.filter((t) => t.to === 'Edda').map((t) => t.way)).toEqual(['push']);
    const gone = await (await visit(server, asked)).press('Leave');
    expect(gone.text).toMatch(/counts on you|not told of alarms/u);
    if (gone.buttons.includes('Leave all the same')) await gone.press('Leave all the same');
    expect(await ways('edda')).toEqual([]);
    expect(reachable(await state()).map((p) => p.id)).toEqual(['dana']);
  });

  it('can keep the page as an app, in their language too', async () => {
    const asked = await link();
    const { html } = await visit(server, `${asked}?l=de`);
    const href = /<link rel="manifest" href="([^"]+)"/u.exec(html)?.[1] ?? '';
    const manifest = await server.inject({ method: 'GET', url: href });
    expect(manifest.headers['content-type']).toContain('application/manifest+json');
    expect(manifest.json().start_url).toBe(`${asked}?l=de`);
  });

  it('keeps push while it is the only way, and reads why in their language', async () => {
    const asked = await link();
    await turnOn(asked, browser());
    const own = await ownPath(on.settings.links, on.trip, 'edda');
    const said = async (language: string) => {
      const page = await visit(server, `${own}/push`, language);
      const off = page.buttons.find((one) => /off$|ausschalten$/u.test(one)) ?? '';
      return (await page.press(off)).text;
    };
    expect(await said('en')).toContain('the only way by which you are told');
    expect(await said('de')).toContain('der einzige Weg');
    expect(await ways('edda')).toEqual(['push']);
  });

  it('can say no, and is not asked twice by a message', async () => {
    const asked = await link();
    expect((await (await visit(server, asked)).press('No')).text).toContain('You are told nothing');
    const again = text(await on.w.say('mara', '/checkin contact answer:again for:Edda'));
    expect(again).not.toContain('is asked by');
    await on.w.tick();
    expect(on.w.told.filter((t) => t.to === 'Edda')).toEqual([]);
  });

  it('whose browser is gone still reads their page, and can turn it on again', async () => {
    const asked = await link();
    const one = browser();
    await turnOn(asked, one);
    const to = createHash('sha256').update(one.endpoint).digest('hex').slice(0, 16);
    const { row } = await on.w.trip();
    await on.app.records.write({
      trip: row.id,
      key: 'lost',
      nowMs: on.w.clock.wallMs(),
      by: { id: 'tagline', name: 'tagline' },
      decide: () => [
        { kind: 'contact.lost', data: { person: 'edda', way: 'push', to, why: 'gone' } },
      ],
    });
    expect(await ways('edda')).toEqual([]);
    const own = await ownPath(on.settings.links, on.trip, 'edda');
    expect((await visit(server, own)).text).toContain('No message reaches you yet.');
    await turnOn(`${own}/push`, browser(2));
    expect(await ways('edda')).toEqual(['push']);
  });
});
