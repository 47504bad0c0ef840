import fc from 'fast-check';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { channelJson, guildJson, messageJson, userJson } from '../../discord/payloads.ts';
import { type Bot, startBot, until, untilInTime } from './bot.ts';

/** What no careful platform would send, to the real client: nothing of it may end the process. */
let bot: Bot;

beforeEach(async () => {
  bot = await startBot();
});
afterEach(() => bot.close());

const answers = async () => {
  const { stand, mara, wall } = bot;
  const answer = await stand.slash(mara, wall, '/post done', { number: 3 });
  expect(answer.text).toContain('Pitch 3 done');
};
const identifies = () =>
  bot.stand.journal.of('gateway').filter((g) => g.what === 'identify').length;
const odd = () => bot.logged.filter((l) => l.msg === 'an odd packet was dropped');
const again = () => bot.logged.filter((l) => l.msg === 'the chat side is started anew');

const USER = { id: '900000000000000002', username: 'x', discriminator: '0', avatar: null };

/** Payloads that the library reads without looking: each threw inside it. */
const POISON: readonly (readonly [what: string, t: string, d: unknown])[] = [
  ['an interaction without data', 'INTERACTION_CREATE', { id: '1', type: 2, user: USER }],
  ['a press without data', 'INTERACTION_CREATE', { id: '1', type: 3, user: USER }],
  ['an interaction without a user', 'INTERACTION_CREATE', { id: '1', type: 2, data: { type: 1 } }],
  [
    'a message whose thread is null',
    'INTERACTION_CREATE',
    {
      id: '1',
      token: 'x',
      type: 3,
      user: USER,
      data: { component_type: 2, custom_id: 'x' },
      message: { id: '5', channel_id: '6', author: USER, thread: null, type: 0, content: '' },
      channel: { id: '6', type: 1, recipients: [USER] },
      channel_id: '6',
    },
  ],
  ['no interaction at all', 'INTERACTION_CREATE', null],
  ['a server that is null', 'GUILD_CREATE', null],
  ['a server of nulls', 'GUILD_CREATE', { id: '7', channels: null, roles: [null], threads: 3 }],
  ['a channel that is a word', 'CHANNEL_CREATE', 'channel'],
  ['an event by the name of a listener', 'error', { message: 'error' }],
  ['an update of nobody', 'USER_UPDATE', null],
  [
    'an application whose install_params are null',
    'INVITE_CREATE',
    {
      code: 'x',
      guild_id: '7',
      channel_id: '8',
      target_application: { id: '9', install_params: null },
    },
  ],
];

describe('one odd packet', () => {
  it.each(POISON)('%s: the next is answered', async (_, t, d) => {
    bot.stand.gateway.dispatch(t, d, undefined);
    await answers();
    expect(bot.chat.health().ready).toBe(true);
    expect(identifies()).toBe(1);
  });

  it('is one line in the log, with its kind and nothing of what it held', async () => {
    const d = { id: '1', type: 2, user: { ...USER, username: 'somebody' } };
    bot.stand.gateway.dispatch('INTERACTION_CREATE', d, undefined);
    await answers();
    expect(odd()).toEqual([expect.objectContaining({ kind: 'INTERACTION_CREATE', level: 40 })]);
    expect(JSON.stringify(odd())).not.toContain('somebody');
  });

  it('a hundred of them hold nothing up', async () => {
    for (let i = 0; i < 100; i++) bot.stand.gateway.dispatch('INTERACTION_CREATE', null, undefined);
    await answers();
    expect(odd()).toHaveLength(100);
  });
});

/** Whatever the library may read of a packet: nothing, another kind, too much. */
const ODD = fc.oneof(
  fc.constantFrom(null, undefined, true, '', 'x', 0, -1, 1e99, [], [null], {}, { id: null }),
  fc.jsonValue({ maxDepth: 3 }),
);

/** A copy of it with something odd at some place. */
function spoilt(whole: unknown, steps: readonly number[], odd: unknown): unknown {
  const [step, ...rest] = steps;
  if (step === undefined || typeof whole !== 'object' || whole === null) return odd;
  const keys = Object.keys(whole);
  const key = keys[step % keys.length];
  if (key === undefined) return odd;
  const copy = Array.isArray(whole) ? [...whole] : { ...whole };
  const inside = copy as Record<string, unknown>;
  inside[key] = spoilt(inside[key], rest, odd);
  return copy;
}

describe('packets with something odd at any place', () => {
  it('a hundred, each alone: at most a line in the log, and the next is answered', async () => {
    const { stand, mara, wall, guild } = bot;
    const slash = await stand.slash(mara, wall, '/post done', { number: 2 });
    const world = stand.core.world;
    const button = await stand.press(mara, slash, slash.buttons[0] ?? '');
    const user = world.user(mara.id);
    const packets: readonly (readonly [t: string, d: unknown])[] = [
      ['INTERACTION_CREATE', slash.interaction.payload],
      ['INTERACTION_CREATE', button.interaction.payload],
      ['GUILD_CREATE', { ...guildJson(world, guild), id: '77', name: 'another' }],
      ['GUILD_UPDATE', guildJson(world, guild)],
      ['CHANNEL_CREATE', { ...channelJson(world, wall), id: '78' }],
      ['THREAD_CREATE', channelJson(world, stand.addThread(wall, 'harrow'))],
      ['MESSAGE_CREATE', messageJson(world, slash.message)],
      ['USER_UPDATE', userJson(user)],
      ['INVITE_CREATE', { channel_id: wall.id, target_application: null, code: 'x' }],
    ];
    const any = fc.tuple(fc.constantFrom(...packets), fc.array(fc.nat(30), { maxLength: 4 }), ODD);
    await fc.assert(
      fc.asyncProperty(any, async ([[t, d], steps, odd_]) => {
        const before = odd().length;
        stand.gateway.dispatch(t, spoilt(d, steps, odd_), undefined);
        // Nobody posts faster than that.
        bot.clock.moveTo(bot.clock.wallMs() + 3_000);
        await answers();
        expect(odd().length - before).toBeLessThanOrEqual(1);
        expect(identifies()).toBe(1);
      }),
      { numRuns: 100 },
    );
    expect(odd().length).toBeGreaterThan(0);
  });
});

/** What breaks the connection's own state: a new one takes its place. */
const BREAKING: readonly (readonly [what: string, text: string])[] = [
  ['Ready without anything', '{"op":0,"s":9,"t":"READY","d":null}'],
  ['Ready with a server that is null', '{"op":0,"s":9,"t":"READY","d":{"guilds":[null]}}'],
  [
    'Ready whose application has install_params that are null',
    `{"op":0,"s":9,"t":"READY","d":{"v":10,"user":{"id":"1"},"guilds":[],"application":{"id":"1","install_params":null}}}`,
  ],
  ['an invalid session that does not say', '{"op":9,"d":null}'],
  ['a second greeting without a heartbeat', '{"op":10,"d":null}'],
];

describe('a connection that is broken', () => {
  it.each(BREAKING)('%s: the chat is started anew and answers', async (_, text) => {
    bot.stand.gateway.raw(text);
    await untilInTime(bot.clock, () => identifies() > 1 && bot.chat.health().ready);
    await answers();
    expect(again().length).toBeGreaterThan(0);
  });

  it.each(['not JSON', '[]', '"x"', '7', '{"op":99}', '{}'])('%s is passed over', async (text) => {
    bot.stand.gateway.raw(text);
    await answers();
    expect(identifies()).toBe(1);
  });
});

describe('closes from which the library comes back', () => {
  it.each([1000, 4000, 4003, 4009, 4999])('%i: the next is answered', async (code) => {
    bot.stand.gateway.refuse(code);
    await until(() => !bot.chat.health().ready);
    await untilInTime(bot.clock, () => bot.chat.health().ready);
    await answers();
  });
});
