/** The page behind a link when the trip's record can't be read: it says so, and what to do. */
import { join } from 'node:path';
import { expect, onTestFinished, test } from 'vitest';
import { sqlite } from '../../../src/store/sqlite/driver.ts';
import { buildPageServer, climbHalfway, onPage } from './trip-on-page.ts';

const Sqlite = sqlite();

test('says that nothing is known and whom to call, and is back when the record is', async () => {
  const page = await onPage();
  onTestFinished(() => page.close());
  await climbHalfway(page);
  const server = await buildPageServer(page.settings);
  onTestFinished(() => server.close());
  const db = new Sqlite(join(page.w.folder, 'trips.db'));
  onTestFinished(() => void db.close());
  const set = db.prepare('UPDATE event SET data = ? WHERE trip = ? AND seq = 5');
  const was = db
    .prepare('SELECT data FROM event WHERE trip = ? AND seq = 5')
    .pluck()
    .get(page.trip);
  set.run('{"pitch":', page.trip);
  page.app.records.forget(page.trip);
  for (const [method, url] of [
    ['GET', page.path],
    ['GET', `${page.path}?still=1`],
    ['GET', `${page.path}/sheet`],
    ['POST', `${page.path}/sheet`],
  ] as const) {
    const { statusCode, body, headers } = await server.inject({ method, url });
    expect([method, url, statusCode]).toEqual([method, url, 503]);
    expect(headers['content-type']).toBe('text/html; charset=utf-8');
    expect(body).toContain('nobody watches its clock');
    expect(body).toContain('call the local emergency number');
    expect(body).toContain(`in the log as trip ${page.trip}, entry 5.`);
  }
  set.run(was, page.trip);
  const { statusCode, body } = await server.inject({ method: 'GET', url: page.path });
  expect([statusCode, body.includes('<h1>Harrow Tower</h1>')]).toEqual([200, true]);
});
