import { createServer, type IncomingHttpHeaders } from 'node:http';
import type { AddressInfo } from 'node:net';
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { discordWays } from '../../../src/chat/discord/deliver.ts';
import { createOutgoing } from '../../../src/chat/discord/outgoing.ts';
import { Pace } from '../../../src/chat/discord/pace.ts';
import { renderReply } from '../../../src/chat/discord/render.ts';
import { discordRest } from '../../../src/chat/discord/rest.ts';

const MESSAGES = 'https://discord.com/api/v10/channels/1/messages';

/** A clock on which waiting takes no time but its own. */
function clock() {
  const self = {
    nowMs: 0,
    monoMs: () => self.nowMs,
    sleep: async (ms: number) => {
      // Who was let go just now goes first.
      await new Promise(setImmediate);
      self.nowMs += ms;
    },
  };
  return self;
}

test('Discord, Global Rate Limit: 50 requests at most in any second, and hardly fewer, however they come in', async () => {
  await fc.assert(
    fc.asyncProperty(
      fc.array(fc.tuple(fc.integer({ min: 0, max: 400 }), fc.integer({ min: 1, max: 60 })), {
        minLength: 1,
        maxLength: 12,
      }),
      async (bursts) => {
        const self = clock();
        const pace = new Pace(self);
        const went: number[] = [];
        let pausedMs = 0;
        for (const [laterMs, many] of bursts) {
          self.nowMs += laterMs;
          pausedMs += laterMs;
          const turn = async (i: number) => {
            await pace.turn(MESSAGES);
            went.push(self.nowMs);
            // In the order in which they came.
            expect(next++).toBe(i);
          };
          let next = 0;
          await Promise.all(Array.from({ length: many }, (_, i) => turn(i)));
        }
        for (const from of went) {
          const within = went.filter((ms) => ms >= from && ms < from + 1000);
          expect(within.length).toBeLessThanOrEqual(50);
        }
        // 46 a second at least once there are more than may go.
        expect(self.nowMs - pausedMs).toBeLessThanOrEqual((went.length * 1000) / 46);
      },
    ),
  );
});

test('distress goes before all that waits, and what waits goes on in its order', async () => {
  const self = clock();
  const pace = new Pace(self);
  const went: { who: string; ms: number }[] = [];
  const turn = async (who: string, urgency?: number) => {
    await pace.turn(MESSAGES, urgency === undefined ? {} : { urgency });
    went.push({ who, ms: self.nowMs });
  };
  const board = Array.from({ length: 400 }, (_, i) => turn(`board ${i}`));
  await Promise.all([...board, turn('alert', 1), turn('distress', 0), turn('plan', 5)]);
  const place = (who: string) => went.findIndex((one) => one.who === who);
  // Four may go at once, and did before it came.
  expect([place('distress'), place('alert'), place('plan')]).toEqual([4, 5, 6]);
  expect(went[4]?.ms).toBeLessThan(50);
  const boards = went.filter(({ who }) => who.startsWith('board')).map(({ who }) => who);
  expect(boards).toEqual(Array.from({ length: 400 }, (_, i) => `board ${i}`));
});

test('who gives up waiting takes no turn', async () => {
  const self = clock();
  const pace = new Pace(self);
  const off = new AbortController();
  const given = Array.from({ length: 300 }, () => pace.turn(MESSAGES, { signal: off.signal }));
  off.abort();
  const after = pace.turn(MESSAGES);
  await Promise.all([...given, after]);
  expect(self.nowMs).toBeLessThan(50);
  await pace.turn(MESSAGES, { signal: off.signal });
});

test('one alone goes at once, and so does every answer to an interaction', async () => {
  const self = clock();
  const pace = new Pace(self);
  await pace.turn(MESSAGES);
  for (let i = 0; i < 100; i++) {
    await pace.turn('https://discord.com/api/v10/interactions/1/t/callback');
    await pace.turn('https://discord.com/api/v10/webhooks/1/t/messages/@original');
  }
  expect(self.nowMs).toBe(0);
});

test('a notice waits by its own urgency, which Discord is not told', async () => {
  const seen: IncomingHttpHeaders[] = [];
  const server = createServer((request, response) => {
    seen.push(request.headers);
    response.setHeader('content-type', 'application/json').end('{"id":"1"}');
  }).listen(0, '127.0.0.1');
  await new Promise((there) => server.once('listening', there));
  const pace = new Pace(clock());
  const turns: unknown[] = [];
  pace.turn = async (_url, { urgency } = {}) => void turns.push(urgency);
  const apiUrl = `http://127.0.0.1:${(server.address() as AddressInfo).port}`;
  const surface = { render: async (...a: Parameters<typeof renderReply>) => renderReply(...a) };
  const outgoing = createOutgoing(discordRest({ token: 'x', apiUrl, pace }), surface);
  const envelope = { message: { subject: '', lines: ['Well?'] }, trip: 't', nonce: 'n', nowMs: 0 };
  const ways = discordWays(outgoing);
  try {
    await ways.dm?.({ account: '1', name: 'Dana' }, { ...envelope, urgency: 0 });
    await ways.channel?.('2', { ...envelope, urgency: 4 });
    await outgoing.remove({ channel: '2', message: '3' });
  } finally {
    server.closeAllConnections();
    await new Promise((closed) => server.close(closed));
  }
  expect(turns).toEqual([0, 0, 4, undefined]);
  expect(seen.map(({ authorization, urgency }) => [authorization, urgency])).toEqual(
    Array.from({ length: 4 }, () => ['Bot x', undefined]),
  );
});
