import { afterEach, describe, expect, it } from 'vitest';
import { DiscordStartError } from '../../../src/chat/discord/line.ts';
import { startDiscord } from '../../helpers/bot.ts';
import { type Bot, closedForGood, startBot, until, untilInTime } from './bot.ts';

const HOUR = 3_600_000;
let bot: Bot | undefined;

afterEach(async () => {
  await bot?.close();
  bot = undefined;
});

describe('the gateway', () => {
  it('asks for one intent and registers the commands', async () => {
    bot = await startBot();
    const identify = bot.stand.journal.of('gateway').find((g) => g.what === 'identify');
    expect(identify?.detail).toBe(1);
    expect(bot.stand.journal.of('commands').map((c) => [c.scope, c.how])).toEqual([
      ['global', 'overwrite'],
    ]);
  });

  it('registers nothing at the next start when nothing changed', async () => {
    bot = await startBot();
    await bot.chat.close();
    const again = await bot.start();
    expect(bot.stand.journal.of('commands')).toHaveLength(1);
    await again.close();
  });

  it('tells whether it is alive', async () => {
    bot = await startBot();
    expect(bot.chat.health()).toMatchObject({ ready: true, status: 'Ready', underWay: 0 });
    bot.clock.moveTo(bot.clock.wallMs() + 60_000);
    expect(bot.chat.health().lastEventAgeMs).toBe(60_000);
    await bot.stand.slash(bot.mara, bot.wall, '/help');
    expect(bot.chat.health().lastEventAgeMs).toBe(0);
  });

  it('answers what was asked while the line was cut, once it is back', async () => {
    bot = await startBot();
    const { stand, mara, wall, chat, logged } = bot;
    stand.gateway.cut();
    await stand.journal.until(() => stand.journal.of('gateway').some((g) => g.what === 'closed'));
    const answer = await stand.slash(mara, wall, '/post done', { number: 3 });
    expect(answer.text).toContain('Pitch 3 done');
    expect(stand.journal.of('gateway').filter((g) => g.what === 'identify')).toHaveLength(1);
    await until(() => chat.health().ready);
    expect(logged.some((l) => l.msg === 'gateway resumed')).toBe(true);
  });

  it('does not start with a token Discord refuses, and does not say the token', async () => {
    bot = await startBot();
    const failed = startDiscord({
      app: bot.app,
      token: 'c29tZQ.wrong.token',
      apiUrl: bot.stand.apiUrl,
    });
    await expect(failed).rejects.toBeInstanceOf(DiscordStartError);
    await failed.catch((error: Error) => {
      expect(error.message).toContain('refused the token');
      expect(error.message).not.toContain('c29tZQ');
    });
  });

  it.each([4004, 4014])(
    'closed for good with %i, says what mends it and does not log in again',
    async (code) => {
      bot = await startBot();
      await closedForGood(bot, code);
    },
  );

  /** OPERATING.md: after 5, 15, 30, 60, 120, then every 300 seconds. */
  it('tries again after longer and longer while Discord is not there', async () => {
    bot = await startBot();
    const { stand, clock, logged } = bot;
    await bot.chat.close();
    // The library asks four times before it gives up.
    const down = stand.faults.add({
      route: 'GET /gateway/bot',
      times: 4 * 7,
      fault: { what: 'status', status: 503 },
    });
    let up = false;
    const again = bot.start().then((chat) => {
      up = true;
      return chat;
    });
    await untilInTime(clock, () => up);
    expect(down.met()).toBe(4 * 7);
    const waits = logged.flatMap((l) => ('afterMs' in l ? [Number(l.afterMs) / 1000] : []));
    expect(waits).toEqual([5, 15, 30, 60, 120, 300, 300]);
    await (await again).close();
  });

  /** events/gateway.mdx, Session Start Limit Object: reset_after. */
  it('waits for the next day’s logins when today’s are used up', async () => {
    bot = await startBot();
    const { stand, clock, logged } = bot;
    await bot.chat.close();
    const identified = () =>
      stand.journal.of('gateway').filter((g) => g.what === 'identify').length;
    const before = identified();
    const startMs = clock.wallMs();
    // The library reckons the moment by the machine's clock.
    stand.core.settings.sessionStarts = {
      remaining: 0,
      resetAfterMs: startMs + 5 * HOUR - Date.now(),
    };
    let up = false;
    const again = bot.start().then((chat) => {
      up = true;
      return chat;
    });
    await until(() => logged.some((l) => /as often as Discord allows/u.test(String(l.msg))));
    clock.moveTo(startMs + 4 * HOUR);
    for (let i = 0; i < 200; i++) await new Promise((go) => setImmediate(go));
    expect([up, identified()]).toEqual([false, before]);
    stand.core.settings.sessionStarts = undefined;
    clock.moveTo(startMs + 5 * HOUR + 60_000);
    await until(() => up);
    expect(identified()).toBe(before + 1);
    await (await again).close();
  });

  it('starts with the old commands when they cannot be registered', async () => {
    bot = await startBot();
    await bot.chat.close();
    await bot.app.store.setFact(`discord.commands.${bot.stand.bot.id}.global`, 'older');
    bot.stand.faults.add({
      route: 'GET /applications/:application/commands',
      times: 9,
      fault: { what: 'status', status: 503 },
    });
    const again = await bot.start();
    const answer = await bot.stand.slash(bot.mara, bot.wall, '/help');
    expect(answer.text).toContain('Then: ');
    expect(bot.logged.some((l) => l.msg === 'commands could not be registered')).toBe(true);
    await again.close();
  });

  it('registers in one server for trying', async () => {
    bot = await startBot();
    await bot.chat.close();
    const own = await startDiscord({
      app: bot.app,
      token: bot.stand.token,
      apiUrl: `${bot.stand.apiUrl}/`,
      guildForTrying: bot.guild.id,
    });
    expect(bot.stand.journal.of('commands').at(-1)?.scope).toBe(bot.guild.id);
    await own.close();
  });
});
