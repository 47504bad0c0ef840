/** The real process while Discord keeps it out: it watches all the same, and ends when it is told to. */
import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdtempSync, rmSync } from 'node:fs';
import { createServer, type RequestListener, type Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import { join } from 'node:path';
import { beforeAll, expect, onTestFinished, test } from 'vitest';
import { compiledMain } from '../helpers/compiled.ts';
import { ROOM } from '../helpers/room.ts';

let main: string;
beforeAll(async () => {
  main = await compiledMain();
});

/** How Discord answers whatever it is asked, and what the process's log says once it has heard that. */
const STATES: Record<string, RequestListener> = {
  'never answers': () => {},
  // Rate limits, documented with `retry_after` in seconds: an hour, which the client waits for.
  'says 429 for an hour': (_request, response) => {
    const body = { message: 'You are being rate limited.', retry_after: 3600, global: false };
    const headers = { 'content-type': 'application/json', 'retry-after': '3600' };
    response.writeHead(429, headers).end(JSON.stringify(body));
  },
  'hangs up': (request) => void request.socket.destroy(),
  'refuses the token': (_request, response) => {
    const headers = { 'content-type': 'application/json' };
    response.writeHead(401, headers).end(JSON.stringify({ message: '401: Unauthorized', code: 0 }));
  },
};

async function listening(answer: RequestListener): Promise<{ server: Server; port: number }> {
  const server = createServer(answer).listen(0, '127.0.0.1');
  await once(server, 'listening');
  return { server, port: (server.address() as AddressInfo).port };
}

async function freePort(): Promise<number> {
  const { server, port } = await listening(() => {});
  server.close();
  await once(server, 'close');
  return port;
}

function start(env: Record<string, string>): ChildProcess {
  const folder = mkdtempSync(join(ROOM, 'tagline-stop-'));
  const child = spawn(process.execPath, [main], {
    env: { PATH: process.env.PATH ?? '', TAGLINE_DATA: folder, ...env },
    stdio: ['ignore', 'ignore', 'ignore'],
  });
  onTestFinished(() => {
    child.kill('SIGKILL');
    rmSync(folder, { recursive: true, force: true });
  });
  return child;
}

/** Each takes ten seconds, for which the end waits for messages on their way: the rest are for TEST_LONG=1. */
const TRIED = Object.entries(STATES).filter(
  ([name]) => process.env.TEST_LONG === '1' || name.includes('429'),
);

test.each(TRIED)('Discord %s: watch and health are up, and SIGTERM ends it', async (_, answer) => {
  let met = () => {};
  const asked = new Promise<void>((resolve) => {
    met = resolve;
  });
  const { server, port } = await listening((request, response) => {
    // The way to the gateway; the time of Discord is asked for elsewhere.
    if (request.url?.includes('/gateway/bot')) met();
    answer(request, response);
  });
  onTestFinished(() => {
    server.closeAllConnections();
    server.close();
  });
  const health = await freePort();
  const child = start({
    DISCORD_API_URL: `http://127.0.0.1:${port}/api`,
    DISCORD_TOKEN: 'a-token-for-tests',
    TAGLINE_HEALTH_PORT: String(health),
  });
  const ended = once(child, 'exit');
  await Promise.race([
    asked,
    ended.then(([code]) => Promise.reject(new Error(`ended with ${code}`))),
  ]);
  const report = await fetch(`http://127.0.0.1:${health}/healthz`);
  const { checks } = (await report.json()) as { checks: Record<string, { ok: boolean }> };
  expect(checks).toMatchObject({ loop: { ok: true }, store: { ok: true }, trips: { ok: true } });
  expect(checks.gateway).toBeDefined();
  child.kill('SIGTERM');
  expect(await ended).toEqual([0, null]);
});
