import { connect } from 'node:net';
import { DefaultRestOptions, type RESTOptions, type TextChannel } from 'discord.js';
import { afterEach, describe, expect, test } from 'vitest';
import { type Scene, scene } from './help.ts';
import type { ChannelTrouble } from './model.ts';

let s: Scene;
let wall: TextChannel;
const SEND = 'POST /channels/:channel/messages';

async function start(...options: Parameters<typeof scene>): Promise<void> {
  s = await scene(...options);
  await s.login();
  wall = s.client.channels.cache.get(s.wall.id) as TextChannel;
}

afterEach(() => s.end());

const shown = () => s.stand.sees(s.mara, s.wall).map((m) => m.content);
const statuses = () =>
  s.stand.journal
    .of('request')
    .filter((r) => r.route === SEND)
    .map((r) => r.lost ?? r.status);

describe('rate limits', () => {
  test.each(['user', 'shared', 'global'] as const)(
    '%s: the client waits and sends again',
    async (scope) => {
      // What the client read in the answer; whether it still has to wait by then is up to the machine.
      const scopes: string[] = [];
      const rejectOnRateLimit = (data: { scope: string }) => scopes.push(data.scope) < 0;
      await start({}, { rest: { rejectOnRateLimit } });
      s.stand.faults.add({
        route: SEND,
        fault: { what: 'rate-limited', retryAfterS: 0.02, scope },
      });
      await wall.send('Once.');
      expect(statuses()).toEqual([429, 200]);
      expect(shown()).toEqual(['Once.']);
      expect(scopes[0]).toBe(scope);
      expect(s.stand.refusals()).toEqual([]);
    },
  );

  test('fifty a second by the stand-in’s clock, interaction endpoints apart', async () => {
    await start(
      {},
      { rest: { globalRequestsPerSecond: 1000, retries: 0, rejectOnRateLimit: () => true } },
    );
    await s.client.application?.commands.set([{ name: 'c', description: 'd' }]);
    s.answering(async (i) => (i.isRepliable() ? i.reply('Yes.') : undefined));
    s.clock.advance(1000);
    s.stand.rate.enforce = true;
    for (let n = 1; n <= 50; n += 1) await wall.send(`${n}`);
    expect((await s.stand.slash(s.mara, s.wall, '/c')).text).toBe('Yes.');
    await expect(wall.send('51')).rejects.toMatchObject({ global: true, scope: 'global' });
    expect(s.stand.rate.mostInOneSecond).toBe(50);
    expect(
      s.stand.journal
        .of('message')
        .map((m) => m.content)
        .slice(0, 50),
    ).toEqual(Array.from({ length: 50 }, (_, i) => `${i + 1}`));
  });

  test('a second later there is room again', async () => {
    await start();
    const before = s.stand.rate.counted;
    s.clock.advance(1000);
    for (let n = 0; n < 20; n += 1) await wall.send('x');
    s.clock.advance(999);
    for (let n = 0; n < 20; n += 1) await wall.send('x');
    expect(s.stand.rate.mostInOneSecond).toBe(40);
    s.clock.advance(1);
    await wall.send('x');
    expect(s.stand.rate.mostInOneSecond).toBe(40);
    expect(s.stand.rate.counted - before).toBe(41);
  });
});

/** A client that gives up as soon as an answer is kept back: by what happens, not by the machine's clock. */
const givingUp: Partial<RESTOptions> = {
  async makeRequest(url, init) {
    const gaveUp = new AbortController();
    const stop = s.stand.journal.listen((entry) => {
      if (entry.kind === 'request' && entry.lost === 'hang') gaveUp.abort();
    });
    const signals = [gaveUp.signal, ...(init.signal ? [init.signal as AbortSignal] : [])];
    return DefaultRestOptions.makeRequest(url, {
      ...init,
      signal: AbortSignal.any(signals),
    }).finally(stop);
  },
};

describe('server errors and lost answers', () => {
  test('a 5xx is tried again by the client', async () => {
    await start();
    s.stand.faults.add({ route: SEND, times: 2, fault: { what: 'status', status: 503 } });
    await wall.send('Once.');
    expect(statuses()).toEqual([503, 503, 200]);
    expect(shown()).toEqual(['Once.']);
  });

  test('retries used up, it is an HTTPError', async () => {
    await start({}, { rest: { retries: 1 } });
    s.stand.faults.add({ route: SEND, times: 2, fault: { what: 'status', status: 500 } });
    await expect(wall.send('Never.')).rejects.toMatchObject({ name: 'HTTPError', status: 500 });
    expect(shown()).toEqual([]);
  });

  test('accepted, then answered with 502: without a nonce people see it twice', async () => {
    await start();
    s.stand.faults.add({ route: SEND, fault: { what: 'status', status: 502, accepted: true } });
    await wall.send('Twice.');
    expect(shown()).toEqual(['Twice.', 'Twice.']);
  });

  test.each(['hang', 'reset'] as const)(
    'accepted, then %s: with a nonce people see it once',
    async (what) => {
      await start({}, { rest: givingUp });
      const fault = s.stand.faults.add({ route: SEND, fault: { what, accepted: true } });
      const sent = await wall.send({ content: 'Once.', nonce: 'n', enforceNonce: true });
      expect(fault.met()).toBe(1);
      expect(statuses()).toEqual([what, 200]);
      expect(shown()).toEqual(['Once.']);
      expect(s.stand.journal.of('folded').map((f) => f.id)).toEqual([sent.id]);
    },
  );

  test('a hang before anything took effect ends in the client’s timeout', async () => {
    await start({}, { rest: { retries: 0 } });
    // Only now, so that a slow machine has all its time to log in.
    s.client.rest.options.timeout = 50;
    s.stand.faults.add({ route: SEND, fault: { what: 'hang' } });
    await expect(wall.send('Never.')).rejects.toThrow(/aborted/u);
    expect(shown()).toEqual([]);
  });
});

describe('where a fault strikes', () => {
  test('only in its channel, only so often, and not once it is stopped', async () => {
    await start();
    const other = s.stand.addChannel(s.guild, 'other');
    const fault = { what: 'code', status: 403, code: 50013 } as const;
    const rule = s.stand.faults.add({ channelId: other.id, times: 5, fault });
    await wall.send('Fine.');
    const send = () =>
      s.client.rest.post(`/channels/${other.id}/messages`, { body: { content: 'x' } });
    await expect(send()).rejects.toMatchObject({ code: 50013, status: 403 });
    rule.stop();
    await expect(send()).resolves.toBeDefined();
    expect(rule.met()).toBe(1);
  });
});

describe('a channel in trouble', () => {
  test.each<[ChannelTrouble, number, number]>([
    ['gone', 404, 10003],
    ['no-access', 403, 50001],
    ['no-permission', 403, 50013],
    ['archived', 400, 50083],
    ['locked', 400, 160005],
    ['dm-closed', 403, 50007],
  ])('%s: %i, %i', async (trouble, status, code) => {
    await start();
    const sent = await wall.send('Before.');
    s.stand.trouble(s.wall, trouble);
    await expect(wall.send('x')).rejects.toMatchObject({ status, code });
    if (trouble === 'archived') await expect(sent.edit('y')).rejects.toMatchObject({ code });
    s.stand.trouble(s.wall, undefined);
    await expect(wall.send('After.')).resolves.toBeDefined();
    expect(s.stand.refusals().map((r) => r.code)).toContain(code);
  });

  test('thrown out of the server, every channel of it is 50001', async () => {
    await start();
    s.stand.kick(s.guild);
    await expect(wall.send('x')).rejects.toMatchObject({ status: 403, code: 50001 });
    s.stand.invite(s.guild);
    await expect(wall.send('Back.')).resolves.toBeDefined();
  });
});

describe('the stand-in itself', () => {
  test('hides none of its own mistakes', async () => {
    await start({}, { rest: { retries: 0 } });
    s.stand.rate.take = () => {
      throw new Error('a bug');
    };
    await expect(wall.send('x')).rejects.toMatchObject({ status: 500 });
    await expect(s.end()).rejects.toThrow('the stand-in failed');
    s = await scene();
  });

  test('takes no offence at a bot that dies in the middle of a request', async () => {
    s = await scene();
    const { port, hostname } = new URL(s.stand.core.origin);
    const socket = connect(Number(port), hostname);
    const head = `POST /api/v10/channels/${s.wall.id}/messages HTTP/1.1\r\nHost: x\r\n`;
    const type = 'Content-Type: application/json\r\nContent-Length: 100\r\n\r\n{"content":';
    await new Promise((resolve) => socket.write(head + type, resolve));
    socket.resetAndDestroy();
    await s.login();
    expect(s.stand.sees(s.mara, s.wall)).toEqual([]);
    expect(s.stand.core.bugs).toEqual([]);
  });
});

describe('requests nobody should make', () => {
  const call = (path: string, init: RequestInit = {}) =>
    fetch(`${s.stand.core.origin}${path}`, init).then(async (r) => [
      r.status,
      ((await r.json()) as { code?: number }).code,
    ]);
  const agent = { 'user-agent': 'DiscordBot (https://example.invalid, 1.0)' };
  const headers = () => ({ ...agent, authorization: `Bot ${s.stand.token}` });

  /** reference.mdx: API Versioning, Authentication, User Agent. */
  test('without the token, the agent, the version, a route or JSON', async () => {
    s = await scene();
    expect(await call('/api/v10/users/@me', { headers: headers() })).toEqual([200, undefined]);
    expect(await call('/api/v10/users/@me', { headers: agent })).toEqual([401, 0]);
    const bare = { ...headers(), authorization: s.stand.token };
    expect(await call('/api/v10/users/@me', { headers: bare })).toEqual([401, 0]);
    const agentless = { ...headers(), 'user-agent': 'curl' };
    expect(await call('/api/v10/users/@me', { headers: agentless })).toEqual([403, 40333]);
    expect(await call('/api/v9/users/@me', { headers: headers() })).toEqual([400, 50041]);
    expect(await call('/api/v10/nothing', { headers: headers() })).toEqual([404, 0]);
    expect(await call('/api/v10/users/@me?x=1', { headers: headers() })).toEqual([400, 50035]);
    const json = { ...headers(), 'content-type': 'application/json' };
    const path = `/api/v10/channels/${s.wall.id}/messages`;
    const broken = { method: 'POST', headers: json, body: '{' };
    expect(await call(path, broken)).toEqual([400, 50109]);
  });
});
