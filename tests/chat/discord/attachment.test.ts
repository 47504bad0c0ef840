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
  const at = `http://127.0.0.1:${port}`;
  return discordFile({ name: 'topo.csv', size, url: `${at}${path}` }, clock, `${at}/api`);
}

const refusal = (work: Promise<unknown>) =>
  work.then(
    () => 'fetched',
    (error: unknown) => (error instanceof Refusal ? error.message : String(error)),
  );

describe('an attached file', () => {
  /** Hosts as Discord's documentation has them (reference/#image-formatting, resources/message attachment urls). */
  it.each([
    'http://cdn.discordapp.com/a/b',
    'https://cdn.discordapp.com.example.org/a',
    'https://cdn.discordapp.com@127.0.0.1/a',
    'https://cdn.discordapp.com:8443/a',
    'https://discord.com/a',
    'http://169.254.169.254/latest',
    'file:///etc/passwd',
    'nothing',
  ])('ASVS V5.2.1: is not fetched from %s', async (url) => {
    const from = discordFile(
      { name: 'x', size: 1, url },
      new ScriptClock(0),
      'https://discord.com/api',
    );
    expect(await refusal(from.bytes(50))).toContain('is not kept by Discord');
  });

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
