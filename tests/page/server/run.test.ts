import { expect, it } from 'vitest';
import { startPage } from '../../../src/run/page.ts';
import { onPage } from './trip-on-page.ts';

it('on this machine alone, links lead to where it really listens, and every token is fresh', async () => {
  const on = await onPage();
  const server = await startPage({ app: on.app, host: '127.0.0.1', port: 0 });
  const urls = [];
  for (let i = 0; i < 2; i++) {
    const url = await on.app.pages?.make(on.trip, on.w.clock.wallMs());
    expect(url?.startsWith(`${server.url}/t/${on.trip}/`)).toBe(true);
    const answer = await fetch(url ?? '');
    expect(answer.status).toBe(200);
    expect(await answer.text()).toContain('<h1>Harrow Tower</h1>');
    urls.push(url);
  }
  expect(urls[0]).not.toBe(urls[1]);
  expect((await fetch(urls[0] ?? '')).status).toBe(404);
  await server.close();
  await on.close();
});

it('a base address that cannot be used stops the start', async () => {
  const on = await onPage();
  const start = startPage({ app: on.app, host: '127.0.0.1', port: 0, baseUrl: 'example.org' });
  await expect(start).rejects.toThrow('not a base address');
  await on.close();
});
