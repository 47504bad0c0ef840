import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { boardChannel } from '../../../src/chat/discord/board.ts';
import { discordWays } from '../../../src/chat/discord/deliver.ts';
import type { StandChannel } from '../../discord/model.ts';
import { type Bot, startBot } from './bot.ts';

/**
 * A trip in a thread. Threads are archived after an hour or more without a message: nothing in them can be edited or
 * pinned then, and no command used, until a message is sent or they are taken out (topics/threads.mdx).
 */
let bot: Bot;
let thread: StandChannel;

beforeEach(async () => {
  bot = await startBot();
  thread = bot.stand.addThread(bot.wall, 'harrow');
});
afterEach(() => bot.close());

const message = (text: string) => ({
  reply: { lines: [text] },
  trip: 'trip0001',
  nowMs: bot.clock.wallMs(),
});
const alarm = () => ({
  message: { subject: 'Overdue', lines: ['Overdue.'] },
  trip: 'trip0001',
  nonce: 'a',
  nowMs: bot.clock.wallMs(),
});

describe('a thread that was archived', () => {
  it('an alarm goes in, and it is open again', async () => {
    bot.stand.archive(thread);
    expect(await discordWays(bot.outgoing).channel?.(thread.id, alarm())).toMatchObject({
      ok: true,
    });
    expect(thread.thread?.archived).toBe(false);
  });

  it('its board is changed, pinned and taken away all the same', async () => {
    const board = boardChannel(bot.outgoing);
    const posted = await board.post(thread.id, message('One'), 'b1');
    if (!posted.ok) throw new Error(posted.why);
    bot.stand.archive(thread);
    expect(await board.edit(posted.value, message('Two'))).toMatchObject({ ok: true });
    expect(thread.messages.at(-1)?.content).toBe('Two');
    // Commands can be used again, and so can its buttons.
    expect((await bot.stand.slash(bot.mara, thread, '/post done', { number: 3 })).text).toContain(
      'Pitch 3 done',
    );
    bot.stand.archive(thread);
    expect(await board.pin(posted.value)).toEqual({ ok: true, value: true });
    bot.stand.archive(thread);
    expect(await board.remove(posted.value)).toEqual({ ok: true, value: true });
  });

  it('locked by a moderator it stays so, and that is said', async () => {
    const board = boardChannel(bot.outgoing);
    const posted = await board.post(thread.id, message('One'), 'b1');
    if (!posted.ok) throw new Error(posted.why);
    bot.stand.archive(thread, { locked: true });
    expect(await board.edit(posted.value, message('Two'))).toEqual({ ok: false, why: 'archived' });
    expect(await discordWays(bot.outgoing).channel?.(thread.id, alarm())).toMatchObject({
      ok: false,
      retry: 'never',
    });
  });
});
