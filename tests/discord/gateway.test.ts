import { Client, Events, GatewayIntentBits as Intent } from 'discord.js';
import { afterEach, describe, expect, test } from 'vitest';
import WebSocket from 'ws';
import { type Scene, scene } from './help.ts';

let s: Scene;
afterEach(() => s.end());

const COMMAND = { name: 'help', description: 'What to do next.' };

async function start(...options: Parameters<typeof scene>): Promise<void> {
  s = await scene(...options);
  await s.login();
  await s.client.application?.commands.set([COMMAND]);
  s.answering(async (i) => (i.isRepliable() ? i.reply('Here.') : undefined));
}

const heard = (what: string) => s.stand.journal.of('gateway').filter((g) => g.what === what);
const until = (what: string, count = 1) => s.stand.journal.until(() => heard(what).length >= count);

test('the real client logs in and knows its server and channel', async () => {
  await start();
  expect(s.client.user?.id).toBe(s.stand.bot.id);
  expect(s.client.guilds.cache.get(s.guild.id)?.name).toBe('Lantern Gorge');
  expect(s.client.channels.cache.get(s.wall.id)?.isTextBased()).toBe(true);
  const steps = s.stand.journal.of('gateway').map((g) => g.what);
  expect(steps.slice(0, 3)).toEqual(['connect', 'identify', 'ready']);
  expect(heard('identify')[0]?.detail).toBe(Intent.Guilds);
});

test('a server and a channel that come later are heard of', async () => {
  await start();
  const joined = new Promise((resolve) => s.client.once(Events.GuildCreate, resolve));
  const other = s.stand.addGuild('Second Gorge', [s.mara]);
  await joined;
  const made = new Promise((resolve) => s.client.once(Events.ChannelCreate, resolve));
  const channel = s.stand.addChannel(other, 'ledge');
  await made;
  expect(s.client.channels.cache.has(channel.id)).toBe(true);
});

describe('after a cut', () => {
  test('the client resumes and is given what it missed, in order', async () => {
    await start();
    s.stand.gateway.cut();
    // Sent while no socket is there: it waits in the session.
    const [first, second] = [1, 2].map(() => s.stand.slash(s.mara, s.wall, '/help'));
    await until('resumed');
    expect((await first)?.text).toBe('Here.');
    expect((await second)?.text).toBe('Here.');
    expect(heard('resumed')[0]?.detail).toBe(2);
    const asked = s.stand.journal.of('interaction').map((i) => i.id);
    expect(s.stand.journal.of('ack').map((a) => a.interactionId)).toEqual(asked);
    expect(heard('connect').map((c) => c.detail)).toEqual(['/', '/resume']);
  });

  test('with the resume refused it identifies afresh, and what it missed is gone', async () => {
    await start();
    s.stand.gateway.refusingResumes = 1;
    s.stand.gateway.cut();
    void s.stand.slash(s.mara, s.wall, '/help');
    await until('ready', 2);
    const answer = await s.stand.slash(s.mara, s.wall, '/help');
    expect(answer.text).toBe('Here.');
    expect(s.stand.journal.of('ack')).toHaveLength(1);
  });
});

test('told to reconnect, the client comes back and resumes', async () => {
  await start();
  s.stand.gateway.askReconnect();
  await until('resumed');
  expect((await s.stand.slash(s.mara, s.wall, '/help')).text).toBe('Here.');
});

test('told that its session is invalid, the client identifies afresh', async () => {
  await start();
  s.stand.gateway.invalidate(false);
  await until('ready', 2);
  expect((await s.stand.slash(s.mara, s.wall, '/help')).text).toBe('Here.');
});

test('a connection that acknowledges no heartbeat is given up and resumed', async () => {
  await start({ heartbeatIntervalMs: 60 });
  await until('heartbeat');
  s.stand.gateway.acknowledging = false;
  await until('resume');
  s.stand.gateway.acknowledging = true;
  expect((await s.stand.slash(s.mara, s.wall, '/help')).text).toBe('Here.');
  // events/gateway.mdx, Sending Heartbeats: closed with a code other than 1000 and 1001.
  expect(heard('closed').map((c) => c.detail)).not.toContain(1000);
});

test('a deaf session is live and hears nothing', async () => {
  await start();
  s.stand.gateway.deaf = true;
  void s.stand.slash(s.mara, s.wall, '/help');
  s.stand.gateway.deaf = false;
  await s.stand.slash(s.mara, s.wall, '/help');
  expect(s.stand.journal.of('ack')).toHaveLength(1);
});

test('thrown out of a server, the client forgets it', async () => {
  await start();
  const left = new Promise((resolve) => s.client.once(Events.GuildDelete, resolve));
  s.stand.kick(s.guild);
  await left;
  expect(s.client.guilds.cache.size).toBe(0);
});

describe('who may come in', () => {
  test('a wrong token is turned away by REST', async () => {
    s = await scene();
    await expect(s.client.login('wrong.token.here')).rejects.toThrow(/token/iu);
  });

  test('a privileged intent that is not switched on closes with 4014', async () => {
    s = await scene();
    const base = s.stand.clientOptions();
    const nosy = new Client({ intents: [Intent.Guilds, Intent.MessageContent], ...base });
    await expect(nosy.login(s.stand.token)).rejects.toThrow(/disallowed intents/iu);
    expect(heard('refused')[0]?.detail).toBe(4014);
    await nosy.destroy();
  });

  test('events of people’s messages go only to those who asked for them', async () => {
    s = await scene({}, { intents: [Intent.Guilds, Intent.GuildMessages] });
    await s.login();
    const seen: string[] = [];
    s.client.on(Events.MessageCreate, (m) => void seen.push(m.id));
    const message = s.stand.say(s.mara, s.wall, 'At the first stance.');
    await expect.poll(() => seen).toEqual([message.id]);
    s.stand.say(s.mara, s.stand.dm(s.mara), 'Hello.');
    const last = s.stand.say(s.mara, s.wall, 'Second stance.');
    await expect.poll(() => seen).toEqual([message.id, last.id]);
  });
});

describe('what a raw socket is refused', () => {
  /** topics/opcodes-and-status-codes.mdx, Gateway Close Event Codes. */
  const closed = (query: string, ...sends: object[]) =>
    new Promise<number>((resolve) => {
      const socket = new WebSocket(`${s.stand.core.origin.replace('http', 'ws')}/${query}`);
      socket.on('open', () => {
        for (const send of sends) socket.send(JSON.stringify(send));
      });
      socket.on('close', resolve);
    });
  const identify = (d: object) => ({
    op: 2,
    d: {
      token: s.stand.token,
      properties: { os: 'a', browser: 'b', device: 'c' },
      intents: 1,
      ...d,
    },
  });

  test.each([
    ['another version', 4012, '?v=9&encoding=json', []],
    ['an unknown opcode', 4001, '', [{}, { op: 99, d: null }]],
    ['an event before Identify', 4003, '', [{ op: 8, d: {} }]],
    ['a second Identify', 4005, '', [{}, {}]],
    ['a wrong token', 4004, '', [{ token: 'x' }]],
    ['an intent that doesn’t exist', 4013, '', [{ intents: 1 << 30 }]],
    ['a shard beyond the count', 4010, '', [{ shard: [1, 1] }]],
    ['a field that doesn’t exist', 4002, '', [{ nonsense: 1 }]],
    ['more than 4096 bytes', 4002, '', [{ presence: { x: 'x'.repeat(4096) } }]],
  ])('%s closes with %i', async (_what, code, query, sends) => {
    s = await scene();
    const payloads = sends.map((d) => ('op' in d ? d : identify(d)));
    expect(await closed(query === '' ? '?v=10&encoding=json' : query, ...payloads)).toBe(code);
  });

  test('121 events in a minute close with 4008', async () => {
    s = await scene();
    const beats = Array.from({ length: 121 }, () => ({ op: 1, d: null }));
    expect(await closed('?v=10&encoding=json', ...beats)).toBe(4008);
  });
});
