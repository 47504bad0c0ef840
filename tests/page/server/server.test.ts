import { gunzipSync } from 'node:zlib';
import type { FastifyInstance } from 'fastify';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import {
  buildPageServer,
  climbHalfway,
  DAY,
  goSilent,
  type OnPage,
  onPage,
} from './trip-on-page.ts';

let page: OnPage;
let server: FastifyInstance;
beforeEach(async () => {
  page = await onPage();
  server = await buildPageServer(page.settings);
});
afterEach(async () => {
  vi.useRealTimers();
  await server.close();
  await page.close();
});

/** The limit counts by the machine's minute, which may be over before a slow machine has asked often enough. */
const minuteStandsStill = () => vi.useFakeTimers({ toFake: ['Date'] });

const get = (url: string, headers = {}) => server.inject({ method: 'GET', url, headers });

describe('an address that is no link', () => {
  it.each(['/%', '/t/a/%E0%A4%A', '/t/secret-token/%zz', '/%ff%fe', '/t/a/b?x=%'])(
    'ASVS V14.2.5, V16.5.1: %s gets the page’s own words and headers, and nothing of itself',
    async (url) => {
      const { statusCode, body, headers } = await get(url);
      expect(statusCode).toBe(404);
      expect(body).toContain('This link does not work');
      expect(body).not.toContain('secret-token');
      expect(headers['content-type']).toBe('text/html; charset=utf-8');
      expect(headers['content-security-policy']).toContain("default-src 'none'");
      expect(headers['cache-control']).toBe('no-store');
    },
  );
});

describe('the status page', () => {
  it('answers first, then what to do, the picture, and what was heard', async () => {
    await climbHalfway(page);
    const { statusCode, body, headers } = await get(page.path);
    expect(statusCode).toBe(200);
    expect(headers['content-type']).toBe('text/html; charset=utf-8');
    const order = [
      '<h1>Harrow Tower</h1>',
      '5 of 8 pitches done; pitch 6 next.',
      'Last heard 14:22, 10 min ago: pitch 5 done',
      '<svg',
      'How it goes',
      'Top-out ',
      'Last boat 20:15: ',
      'What to do if nothing is heard',
      'What was heard, newest first',
      'To the sheet',
      'tagline is no rescue service',
    ].map((words) => body.indexOf(words));
    expect(order).not.toContain(-1);
    expect(order).toEqual([...order].sort((a, b) => a - b));
    expect(body).toContain('aria-label="Height against time for Harrow Tower');
    expect(headers.refresh).toBe('120');
  });

  it('says how stale it is', async () => {
    await climbHalfway(page);
    page.w.at(`${DAY} 19:00`);
    const { body } = await get(page.path);
    expect(body).toContain('Last heard 14:22, 4 h 38 ago');
    expect(body).toContain('Nothing newer is known');
  });

  it('puts an alarm first, with what to do now and by when', async () => {
    await climbHalfway(page);
    await goSilent(page);
    const { body } = await get(page.path);
    expect(body).toContain('Overdue since 18:00');
    expect(body).toContain('Step: overdue.');
    expect(body).toContain('Expected and not heard: a check-in at 18:00.');
    expect(body).toMatch(/<li class="due">Now, since 20:00: tagline tells Dana/u);
    expect(body).toMatch(
      /From Sun 06:00: this is the call-out time\. If nobody has been reached, call the emergency number 112/u,
    );
    expect(body).toContain('<a href="tel:112">112</a>');
    expect(body.indexOf('What to do')).toBeLessThan(body.indexOf('<svg'));
  });

  it('says who has the alarm in hand, and that the rescue service was called', async () => {
    await climbHalfway(page);
    await goSilent(page);
    await page.w.say('dana', '/overdue ack');
    expect((await get(page.path)).body).toContain(
      'Told: the channel of the trip, Dana (has it in hand).',
    );
    await page.w.say('dana', '/overdue resolve how:called');
    const { body } = await get(page.path);
    expect(body).toContain('The rescue service was called; noted 20:40 by Dana.');
    expect(body).toContain('Now, since 20:40: the rescue service has been called. Keep your phone');
    expect(body).not.toContain('If nobody has been reached, call');
    await page.w.say('greta', '/checkin ok');
    expect((await get(page.path)).body).not.toContain('was called');
  });

  it('at the call-out time says that it has passed, and whom to call', async () => {
    await climbHalfway(page);
    await goSilent(page, true);
    const { body } = await get(page.path);
    expect(body).toContain('<h2>The call-out time 06:00 has passed</h2>');
    expect(body).toMatch(
      /Now, since 06:00: this is the call-out time\. .* call the emergency number 112/u,
    );
  });

  it('once everyone is down says that and when, and asks nothing more of anybody', async () => {
    await climbHalfway(page);
    page.w.at(`${DAY} 19:40`);
    await page.w.say('mara', '/trip down');
    page.w.at(`${DAY} 21:00`);
    const { body } = await get(page.path);
    expect(body).toContain('<p class="lead">Everyone down 19:40.</p>');
    expect(body).toContain('<li>19:40: everyone down</li><li>14:22: pitch 5 done');
    for (const past of ['Last heard', 'Top-out', 'What to do']) expect(body).not.toContain(past);
  });

  it('stands still when asked to', async () => {
    const { headers, body } = await get(`${page.path}?still=1`);
    expect(headers.refresh).toBeUndefined();
    expect(body).toContain('This page stands still');
  });

  it('shows nothing private, and what people wrote as text', async () => {
    await page.w.say('mara', '/trip edit name:"<script>alert(1)</script>"');
    const { body } = await get(page.path);
    expect(body).toContain('&lt;script&gt;');
    expect(body).not.toContain('<script');
    for (const secret of ['dana@example.org', '+47 000 00 000']) expect(body).not.toContain(secret);
  });

  it('is made anew when something was told, and served again when nothing was', async () => {
    await climbHalfway(page);
    const first = await get(page.path);
    expect((await get(page.path)).body).toBe(first.body);
    await page.w.say('greta', '/pitch start number:6');
    expect((await get(page.path)).body).toContain('pitch 6 under way');
  });

  it('comes packed to who can take it', async () => {
    const plain = await get(page.path);
    const packed = await get(page.path, { 'accept-encoding': 'gzip' });
    expect(packed.headers['content-encoding']).toBe('gzip');
    expect(gunzipSync(packed.rawPayload).toString()).toBe(plain.body);
    expect(packed.rawPayload.length).toBeLessThan(plain.body.length / 2);
  });
});

describe('a link that does not open anything', () => {
  const other = 'b2'.repeat(20);
  it('gets the same answer whatever is wrong with it', async () => {
    const bodies = new Set<string>();
    for (const url of [
      `/t/${page.trip}/${other}`,
      `/t/trip0999/${other}`,
      `/t/${page.trip}/x`,
      `/t/${page.trip}/${other}/sheet`,
      '/t/x',
      '/',
      '/t/__proto__/constructor',
    ]) {
      const { statusCode, body } = await get(url);
      expect(statusCode).toBe(404);
      bodies.add(body);
    }
    expect(bodies.size).toBe(1);
    expect([...bodies][0]).not.toContain('Harrow');
  });

  it('is any link once the trip is closed', async () => {
    expect((await get(page.path)).statusCode).toBe(200);
    await climbHalfway(page);
    await page.w.say('mara', '/trip down');
    await page.w.say('mara', '/trip close');
    const { row } = await page.w.trip();
    if (row.status !== 'closed') await page.w.say('mara', '[Close it]');
    expect((await page.w.trip()).row.status).toBe('closed');
    expect((await get(page.path)).statusCode).toBe(404);
    const sheet = await server.inject({ method: 'POST', url: `${page.path}/sheet` });
    expect(sheet.statusCode).toBe(404);
  });
});

describe('the sheet', () => {
  const form = { 'content-type': 'application/x-www-form-urlencoded' };

  it('asks first, and shows nothing private until then', async () => {
    const { body, statusCode } = await get(`${page.path}/sheet`);
    expect(statusCode).toBe(200);
    expect(body).toContain('Opening it is written in the trip’s record');
    expect(body).not.toContain('+47 000 00 000');
    expect((await page.w.trip()).state.watch.opened).toEqual([]);
  });

  it('is shown on the second step, which is in the record', async () => {
    await climbHalfway(page);
    const url = `${page.path}/sheet`;
    const { body, statusCode } = await server.inject({ method: 'POST', url, headers: form });
    expect(statusCode).toBe(200);
    expect(body).toContain('+47 000 00 000');
    expect(body).toContain('Emergency: 112');
    const { state } = await page.w.trip();
    expect(state.watch.opened).toMatchObject([{ by: 'the page', as: 'print' }]);
  });

  it('takes no body worth the name', async () => {
    const url = `${page.path}/sheet`;
    const big = { method: 'POST' as const, url, headers: form, payload: 'x'.repeat(5000) };
    expect((await server.inject(big)).statusCode).toBe(413);
    const json = { ...big, headers: { 'content-type': 'application/xml' }, payload: '<x/>' };
    expect((await server.inject(json)).statusCode).toBe(415);
  });
});

describe('safety of the answers', () => {
  it('ASVS V14.2.2, V14.3.2, V14.3.3: every one carries the headers that keep the link secret and scripts out, and leaves nothing in the browser', async () => {
    for (const url of [page.path, `${page.path}/sheet`, '/nothing', '/robots.txt']) {
      const { headers } = await get(url);
      const policy = String(headers['content-security-policy']);
      // Directives by the W3C's Content Security Policy Level 3.
      expect(policy).toContain("default-src 'none'");
      expect(policy).toContain("frame-ancestors 'none'");
      expect(policy).toContain("form-action 'self'");
      expect(policy).not.toContain('unsafe-inline');
      expect(headers['referrer-policy']).toBe('no-referrer');
      expect(headers['x-content-type-options']).toBe('nosniff');
      expect(headers['set-cookie']).toBeUndefined();
      expect(headers['strict-transport-security']).toMatch(/^max-age=63072000/u);
    }
    const { headers } = await get(page.path);
    expect(headers['x-robots-tag']).toContain('noindex');
    expect(headers['cache-control']).toBe('no-store, private');
  });

  it('bounds how much one address may ask, and says when to come back', async () => {
    minuteStandsStill();
    await server.close();
    server = await buildPageServer({ ...page.settings, perMinute: 5 });
    const codes = [];
    for (let i = 0; i < 7; i++) codes.push((await get(`/t/${page.trip}/guess${i}`)).statusCode);
    expect(codes).toEqual([404, 404, 404, 404, 404, 429, 429]);
    const refused = await get(page.path);
    expect(refused.headers['retry-after']).toBeDefined();
    expect(refused.body).toContain('Too many requests');
  });

  it('counts visitors behind a proxy apart, whatever they write into the header themselves', async () => {
    minuteStandsStill();
    await server.close();
    server = await buildPageServer({ ...page.settings, perMinute: 3, trustProxy: true });
    // The proxy adds the address it sees at the end (RFC 7239, 7.1 tells of the older header's form).
    const from = (forged: string, seen: string) =>
      get(page.path, { 'x-forwarded-for': `${forged}, ${seen}` });
    for (let i = 0; i < 3; i++) await from(`198.51.100.${i}`, '203.0.113.7');
    expect((await from('198.51.100.9', '203.0.113.7')).statusCode).toBe(429);
    expect((await from('198.51.100.9', '203.0.113.8')).statusCode).toBe(200);
  });

  it('tells a fault without details, and the log has it', async () => {
    let failing = false;
    await server.close();
    await page.close();
    page = await onPage((store) => ({
      ...store,
      async trip(id) {
        if (failing) throw new Error('secret detail');
        return store.trip(id);
      },
    }));
    server = await buildPageServer(page.settings);
    failing = true;
    const { statusCode, body } = await get(page.path);
    expect(statusCode).toBe(500);
    expect(body).toContain('It says nothing about the party.');
    expect(body).not.toContain('secret detail');
    expect(page.w.logged.join('')).toContain('secret detail');
  });

  it('serves the typeface itself, for good', async () => {
    const font = await get('/font/1/bold.ttf', { 'accept-encoding': 'gzip' });
    expect(font.headers['content-type']).toBe('font/ttf');
    expect(font.headers['cache-control']).toContain('immutable');
    // The first four bytes of TrueType outlines: ISO/IEC 14496-22, table directory.
    expect(gunzipSync(font.rawPayload).readUInt32BE(0)).toBe(0x00010000);
  });
});
