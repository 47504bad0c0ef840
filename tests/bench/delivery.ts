/**
 * Notices through the real REST client to a stand-in that takes 50 requests a second and answers after 100 to 400 ms:
 * to channels, to people whose direct message was never opened, and to the same people again.
 */
import { createServer, type Server, type ServerResponse } from 'node:http';
import type { AddressInfo } from 'node:net';
import { performance } from 'node:perf_hooks';
import { discordWays } from '../../src/chat/discord/deliver.ts';
import { createOutgoing } from '../../src/chat/discord/outgoing.ts';
import { Pace } from '../../src/chat/discord/pace.ts';
import { renderReply } from '../../src/chat/discord/render.ts';
import { discordRest, openingRests } from '../../src/chat/discord/rest.ts';
import { type Lane, Lanes, type Place } from '../../src/delivery/lanes.ts';
import type { Envelope, Sent } from '../../src/delivery/ports.ts';
import { systemClock } from '../../src/system/clock.ts';
import type { Figure } from './store.ts';

/** So many that the way of the last one, a part of a second, doesn't count. */
const COUNT = 1000;
/** Discord, topics/rate-limits: requests a second for a bot. */
const PER_S = 50;

export async function* benchDelivery(): AsyncGenerator<Figure> {
  const stand = await startLimited();
  try {
    const access = { token: 'x', apiUrl: stand.url, pace: new Pace(systemClock()) };
    const rest = discordRest(access);
    const ways = discordWays(
      createOutgoing(
        rest,
        { render: async (reply, context) => renderReply(reply, context) },
        openingRests(access),
      ),
    );
    const to = (i: number) => String(100_000_000_000_000_000n + BigInt(i));
    const sorts: Readonly<Record<string, (i: number) => [Lane, () => Promise<Sent> | undefined]>> =
      {
        channels: (i) => [
          { way: 'channel', servers: [to(i)], person: `${i}` },
          () => ways.channel?.(to(i), envelope(i)),
        ],
        new_direct: (i) => [
          { way: 'dm', servers: [to(i)], person: `${i}` },
          () => ways.dm?.({ account: to(i), name: 'Dana' }, envelope(i)),
        ],
        known_direct: (i) => [
          { way: 'dm', servers: [to(i)], person: `${i}` },
          () => ways.dm?.({ account: to(i), name: 'Dana' }, envelope(i)),
        ],
      };
    const lanes = new Lanes();
    for (const [name, sort] of Object.entries(sorts)) {
      const before = { ...stand.counts };
      const startMs = performance.now();
      await throughLanes(lanes, COUNT, sort);
      const tookS = (performance.now() - startMs) / 1000;
      const [took, refused] = (['took', 'refused'] as const).map(
        (k) => stand.counts[k] - before[k],
      );
      const against = `45/s at least of ${PER_S}/s; ${refused} refused for coming too fast`;
      yield { name: `delivery.${name}.messages`, value: COUNT / tookS, unit: '/s', against };
      yield { name: `delivery.${name}.requests`, value: (took ?? 0) / tookS, unit: '/s', against };
    }
  } finally {
    await stand.close();
  }
}

function envelope(i: number): Envelope {
  const message = { subject: 'alert', lines: ['Nothing was heard since 14:22.'] };
  return { message, trip: 't', nonce: `n${i}`, nowMs: 0, urgency: 1 } as Envelope;
}

/** As many at once as the lanes have room for, as the outbox does it. */
async function throughLanes(
  lanes: Lanes,
  count: number,
  sort: (i: number) => [Lane, () => Promise<Sent> | undefined],
): Promise<void> {
  const flying = new Set<Promise<void>>();
  for (let i = 0; i < count; ) {
    const [lane, send] = sort(i);
    // An alert, not a distress, which would have the whole width.
    if (!lanes.free(lane, 1)) {
      await Promise.race(flying);
      continue;
    }
    const place = lanes.take(lane);
    i += 1;
    const flight = deliver(send, place);
    flying.add(flight);
    void flight.then(
      () => flying.delete(flight),
      () => {},
    );
  }
  await Promise.all(flying);
}

async function deliver(send: () => Promise<Sent> | undefined, place: Place): Promise<void> {
  const sent = await send();
  if (sent?.ok !== true) throw new Error(JSON.stringify(sent));
  place.quick();
  place.give();
}

interface Limited {
  url: string;
  counts: { took: number; refused: number };
  close(): Promise<void>;
}

/** Takes 50 requests in any second, refuses the others as Discord does, and answers late. */
async function startLimited(): Promise<Limited> {
  const counts = { took: 0, refused: 0 };
  const recent: number[] = [];
  let drawn = 1;
  // Park and Miller's minimal standard (1988): the same waits in every run.
  const waitMs = () => {
    drawn = (drawn * 48_271) % 2_147_483_647;
    return 100 + (drawn % 300);
  };
  const answer = (response: ServerResponse, status: number, body: object, headers = {}) =>
    response
      .writeHead(status, { 'content-type': 'application/json', ...headers })
      .end(JSON.stringify(body));
  let id = 200_000_000_000_000_000n;
  const server: Server = createServer((request, response) => {
    request.resume();
    const nowMs = performance.now();
    while (recent[0] !== undefined && recent[0] <= nowMs - 1000) recent.shift();
    if (recent.length >= PER_S) {
      counts.refused += 1;
      const retryS = Math.max(0.05, ((recent[0] ?? nowMs) + 1000 - nowMs) / 1000);
      const limits = { 'retry-after': String(retryS), 'x-ratelimit-global': 'true' };
      const body = { message: 'too fast', retry_after: retryS, global: true };
      answer(response, 429, body, { ...limits, 'x-ratelimit-scope': 'global' });
      return;
    }
    recent.push(nowMs);
    counts.took += 1;
    id += 1n;
    setTimeout(() => answer(response, 200, { id: String(id) }), waitMs());
  });
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  const { port } = server.address() as AddressInfo;
  return {
    url: `http://127.0.0.1:${port}/api`,
    counts,
    close: () => new Promise((resolve) => server.close(() => resolve())),
  };
}
