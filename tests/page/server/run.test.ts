import { expect, it } from 'vitest';
import { openPage } from '../../../src/run/page.ts';
import { SECRET } from '../../helpers/secret.ts';
import { openDemo, world } from '../../helpers/world.ts';

const HERE = { host: '127.0.0.1', port: 0, secret: SECRET };

it('on this machine alone, links lead to where it really listens, and every token is fresh', async () => {
  const w = await world();
  const page = await openPage({ store: w.store, ...HERE });
  await openDemo(w);
  const { row } = await w.trip();
  // Before the bot is there, a visitor is asked to come again.
  expect((await fetch(page.url)).status).toBe(503);
  const server = await page.serve({ ...w.app, pages: page.links });
  const urls = [];
  for (let i = 0; i < 2; i++) {
    const url = await page.links.make(row.id, w.clock.wallMs());
    expect(url.startsWith(`${page.url}/t/${row.id}/`)).toBe(true);
    const answer = await fetch(url);
    expect(answer.status).toBe(200);
    expect(await answer.text()).toContain('<h1>Harrow Tower</h1>');
    urls.push(url);
  }
  expect(urls[0]).not.toBe(urls[1]);
  expect((await fetch(urls[0] ?? '')).status).toBe(404);
  await server.close();
  await w.close();
});

it('in the local channel the first visit starts it, and whoever comes meanwhile is answered too', async () => {
  const w = await world();
  const page = await openPage({ store: w.store, ...HERE });
  await openDemo(w);
  const { row } = await w.trip();
  const served = page.serveWhenVisited({ ...w.app, pages: page.links });
  const url = await page.links.make(row.id, w.clock.wallMs());
  const answers = await Promise.all([fetch(url), fetch(url), fetch(`${page.url}/robots.txt`)]);
  expect(answers.map((a) => a.status)).toEqual([200, 200, 200]);
  expect(await answers[0]?.text()).toContain('<h1>Harrow Tower</h1>');
  expect((await fetch(url)).headers.get('content-security-policy')).not.toBeNull();
  await served.close();
  await expect(fetch(url)).rejects.toThrow();
  await w.close();
});

it('a page that nobody visits ends as well', async () => {
  const w = await world();
  const page = await openPage({ store: w.store, ...HERE });
  await page.serveWhenVisited({ ...w.app, pages: page.links }).close();
  await expect(fetch(page.url)).rejects.toThrow();
  await w.close();
});

it('a base address that cannot be used stops the start', async () => {
  const w = await world();
  await expect(openPage({ store: w.store, ...HERE, baseUrl: 'example.org' })).rejects.toThrow(
    'not a base address',
  );
  await w.close();
});
