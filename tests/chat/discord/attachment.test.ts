import { createServer, type Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { discordFile } from '../../../src/chat/discord/attachment.ts';
import { ScriptClock } from '../../../src/chat/local/script-clock.ts';
import { Refusal } from '../../../src/say/refusal.ts';

let server: Server;
let asked: (() => void) | undefined;

beforeAll(async () => {
  server = createServer((request, response) => {
    if (request.url === '/gone') response.writeHead(404).end();
    else if (request.url === '/moved') response.writeHead(302, { location: '/topo.csv' }).end();
    else if (request.url === '/never') asked?.();
    else response.end('x'.repeat(100));
  });
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
});

afterAll(() => {
  server.closeAllConnections();
  server.close();
});

function file(path: string, size: number, clock = new ScriptClock(0)) {
  const { port } = server.address() as AddressInfo;
  return discordFile({ name: 'topo.csv', size, url: `http://127.0.0.1:${port}${path}` }, clock);
}

const refusal = (work: Promise<unknown>) =>
  work.then(
    () => 'fetched',
    (error: unknown) => (error instanceof Refusal ? error.message : String(error)),
  );

describe('an attached file', () => {
  it('is fetched when asked for', async () => {
    expect((await file('/topo.csv', 100).bytes(100)).length).toBe(100);
  });

  it('is not fetched when it says that it is too large', async () => {
    expect(await refusal(file('/never', 101).bytes(100))).toContain('at most 100 bytes');
  });

  it('is cut off when it is larger than it said', async () => {
    expect(await refusal(file('/topo.csv', 10).bytes(50))).toContain('at most 50 bytes');
  });

  it.each(['/gone', '/moved'])('is asked for again when %s', async (path) => {
    expect(await refusal(file(path, 10).bytes(50))).toContain('Attach it once more.');
  });

  it('is given up after ten seconds', async () => {
    const clock = new ScriptClock(0);
    const arrived = new Promise<void>((resolve) => {
      asked = resolve;
    });
    const work = refusal(file('/never', 10, clock).bytes(50));
    await arrived;
    clock.moveTo(10_000);
    expect(await work).toContain('Attach it once more.');
  });
});
