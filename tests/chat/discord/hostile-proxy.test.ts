import { afterEach, describe, expect, it } from 'vitest';
import { RequestCounts } from '../../../src/chat/discord/counts.ts';
import { discordWays } from '../../../src/chat/discord/deliver.ts';
import { ManualClock } from '../../helpers/clock.ts';
import { type Bot, closedForGood, identifies, startBot, until, untilInTime } from './bot.ts';

/** What stands between us and the platform, at its worst: late, parked, lost, wrong. */
let bot: Bot | undefined;

afterEach(async () => {
  await bot?.close();
  bot = undefined;
});

const SEND = 'POST /channels/:channel/messages';
const CALLBACK = 'POST /interactions/:interaction/:token/callback';
async function answers({ stand, mara, wall }: Bot): Promise<void> {
  const answer = await stand.slash(mara, wall, '/post done', { number: 3 });
  expect(answer.text).toContain('Pitch 3 done');
}

describe('a limit that lasts', () => {
  it('parks nothing: the message is handed back with the time, and other channels go on', async () => {
    bot = await startBot();
    const { stand, wall, guild, outgoing, clock } = bot;
    const other = stand.addChannel(guild, 'ground');
    stand.faults.add({
      route: SEND,
      channelId: wall.id,
      fault: { what: 'rate-limited', retryAfterS: 600 },
    });
    const envelope = (nonce: string) => ({
      message: { subject: 'Overdue', lines: ['Overdue.'] },
      trip: 'trip0001',
      nonce,
      nowMs: clock.wallMs(),
    });
    const ways = discordWays(outgoing);
    const parked = await ways.channel?.(wall.id, envelope('a'));
    expect(parked).toMatchObject({ ok: false, retry: 'later', why: 'rate-limited' });
    expect(parked).toHaveProperty('afterMs', expect.closeTo(600_000, -4));
    expect(await ways.channel?.(other.id, envelope('b'))).toMatchObject({ ok: true });
    expect(wall.messages).toEqual([]);
  });
});

describe('an answer that comes after it was given up', () => {
  it('a message is shown once', async () => {
    bot = await startBot({ settings: { timeoutMs: 150 } });
    const { stand, wall, outgoing, clock } = bot;
    stand.faults.add({ route: SEND, fault: { what: 'hang', accepted: true } });
    const reply = { lines: ['Overdue.'] };
    const sent = await outgoing.toChannel(wall.id, { reply, nonce: 'n1', nowMs: clock.wallMs() });
    expect(sent.ok).toBe(true);
    expect(wall.messages.map((m) => m.content)).toEqual(['Overdue.']);
  });

  it('a post is answered once and stands once', async () => {
    bot = await startBot({ settings: { timeoutMs: 150 } });
    const { stand, mara, wall, calls, chat } = bot;
    stand.faults.add({ route: CALLBACK, fault: { what: 'hang', accepted: true } });
    const answer = await stand.slash(mara, wall, '/post done', { number: 3 });
    await until(() => chat.health().underWay === 0);
    expect(answer.messages).toHaveLength(1);
    expect(wall.messages).toHaveLength(1);
    expect(calls).toHaveLength(1);
  });
});

describe('a connection that does not come back', () => {
  it('where it is told to resume at no address: the chat is started anew', async () => {
    bot = await startBot();
    const { stand, chat, clock } = bot;
    stand.gateway.resumeUrl = 'nowhere at all';
    stand.gateway.invalidate(false);
    await untilInTime(clock, () => identifies(bot as Bot) === 2 && chat.health().ready);
    stand.gateway.resumeUrl = undefined;
    stand.gateway.cut();
    await untilInTime(clock, () => identifies(bot as Bot) === 3 && chat.health().ready);
    await answers(bot);
  });

  it('lost for five minutes by the clock: a new one is made', async () => {
    bot = await startBot();
    const { stand, chat, clock } = bot;
    stand.gateway.refusingConnections = true;
    stand.gateway.cut();
    await until(() => !chat.health().ready);
    clock.moveTo(clock.wallMs() + 6 * 60_000);
    await until(() => bot?.logged.some((l) => l.msg === 'the chat side is started anew') === true);
    stand.gateway.refusingConnections = false;
    await untilInTime(clock, () => chat.health().ready);
    expect(chat.health().lostAgeMs).toBeUndefined();
    await answers(bot);
  });

  it('a new connection is made at a pace: six breaks do not make six logins at once', async () => {
    bot = await startBot();
    const { stand, chat, clock } = bot;
    const startMs = clock.wallMs();
    for (let i = 2; i <= 5; i++) {
      await until(() => chat.health().ready);
      stand.gateway.raw('{"op":10,"d":null}');
      await untilInTime(clock, () => identifies(bot as Bot) === i);
    }
    // 5, 15, 30 and 60 s.
    expect(clock.wallMs() - startMs).toBeGreaterThanOrEqual(110_000);
    await untilInTime(clock, () => chat.health().ready);
    await answers(bot);
  });
});

describe('more than one connection', () => {
  it('as many as the platform asks for: each server is answered by its own, and one watch', async () => {
    bot = await startBot({ stand: { shards: 2 } });
    const { stand, mara, chat } = bot;
    expect([...stand.gateway.sessions.values()].map((s) => s.shard.join('/')).sort()).toEqual([
      '0/2',
      '1/2',
    ]);
    const servers = Array.from({ length: 4 }, (_, i) => stand.addGuild(`Server ${i}`, [mara]));
    for (const [i, server] of servers.entries()) {
      const channel = stand.addChannel(server, `wall-${i}`);
      expect((await stand.slash(mara, channel, '/help')).text).toContain('Then: ');
    }
    expect(chat.health()).toMatchObject({ ready: true });
    expect(chat.health().lostAgeMs).toBeUndefined();
  });
});

describe('a bot that has outgrown its one connection', () => {
  it.each([4010, 4011])(
    'closed with %i, it comes back with as many as are asked for now',
    async (code) => {
      bot = await startBot();
      const { stand, chat, clock } = bot;
      stand.core.settings.shards = 2;
      stand.gateway.refuse(code);
      await untilInTime(clock, () => identifies(bot as Bot) === 3 && chat.health().ready);
      expect([...stand.gateway.sessions.values()].map((s) => s.shard[1])).toContain(2);
      await answers(bot);
    },
  );
});

describe('a bot that is asked for other connections at every login', () => {
  it.each([4010, 4011])(
    'closed with %i twice in a row: says what mends it and does not log in again',
    async (code) => {
      bot = await startBot();
      const { stand, chat, clock } = bot;
      stand.gateway.refuse(code);
      await untilInTime(clock, () => identifies(bot as Bot) === 2 && chat.health().ready);
      expect(chat.health().refused).toBeUndefined();
      await closedForGood(bot, code);
    },
  );

  it('long after the first, one more is mended by a new login as the first was', async () => {
    bot = await startBot();
    const { stand, chat, clock } = bot;
    stand.gateway.refuse(4011);
    await untilInTime(clock, () => identifies(bot as Bot) === 2 && chat.health().ready);
    clock.moveTo(clock.wallMs() + 11 * 60_000);
    stand.gateway.refuse(4011);
    await untilInTime(clock, () => identifies(bot as Bot) === 3 && chat.health().ready);
    expect(chat.health().refused).toBeUndefined();
  });
});

describe('requests that were refused', () => {
  it('are counted, and those of others’ limits apart', async () => {
    const counts = new RequestCounts(new ManualClock());
    bot = await startBot({ settings: { counts } });
    const { stand, wall, outgoing, clock } = bot;
    const send = (nonce: string) =>
      outgoing.toChannel(wall.id, { reply: { lines: ['x'] }, nonce, nowMs: clock.wallMs() });
    const limited = (scope: 'user' | 'shared') =>
      stand.faults.add({ route: SEND, fault: { what: 'rate-limited', retryAfterS: 0.02, scope } });
    limited('user');
    await send('1');
    limited('shared');
    await send('2');
    stand.trouble(wall, 'no-permission');
    await send('3');
    expect(counts.limited).toBe(2);
    // 429 of our own and 403; not the shared 429 (topics/rate-limits.mdx).
    expect([counts.invalid, counts.invalidLately]).toEqual([2, 2]);
  });

  it('are forgotten after ten minutes', () => {
    const clock = new ManualClock();
    const counts = new RequestCounts(clock);
    for (let i = 0; i < 30; i++) {
      counts.answered(403, null);
      clock.advance(60_000);
    }
    expect(counts.invalid).toBe(30);
    expect(counts.invalidLately).toBe(9);
    clock.advance(600_000);
    expect(counts.invalidLately).toBe(0);
  });
});
