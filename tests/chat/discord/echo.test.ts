import { afterEach, beforeEach, expect, it } from 'vitest';
import { type Bot, startBot, until, untilInTime } from './bot.ts';

/**
 * A connection that is up, its heartbeats answered, and no event comes through (discord/discord-api-docs issue 8162).
 * Silence alone says nothing; what was asked for and stays away does.
 */
let bot: Bot;

beforeEach(async () => {
  bot = await startBot();
});
afterEach(() => bot.close());

const gateway = (what: string) =>
  bot.stand.journal.of('gateway').filter((g) => g.what === what).length;
const again = () => bot.logged.filter((l) => l.msg === 'the chat side is started anew');
const MIN = 60_000;

/** Time goes on by steps, each looked at by the bot before the next. */
async function pass(min: number): Promise<void> {
  for (const untilMs = bot.clock.wallMs() + min * MIN; bot.clock.wallMs() < untilMs; ) {
    bot.clock.moveTo(bot.clock.wallMs() + 30_000);
    for (let i = 0; i < 50; i++) await new Promise(setImmediate);
  }
}

it('an evening on which nobody posts is no deafness', async () => {
  await pass(180);
  expect(gateway('members')).toBeGreaterThan(30);
  expect(again()).toEqual([]);
  expect(gateway('identify')).toBe(1);
  expect(bot.chat.health().lostAgeMs).toBeUndefined();
});

it('a deaf connection is given up for a new one within ten minutes, and counts as lost since its last event', async () => {
  await pass(5);
  const { stand, mara, wall, chat, clock } = bot;
  stand.gateway.deaf = true;
  const startMs = clock.wallMs();
  await untilInTime(clock, () => again().length > 0);
  expect(clock.wallMs() - startMs).toBeLessThanOrEqual(10 * MIN);
  expect(chat.health().lostAgeMs).toBeGreaterThan(5 * MIN);
  // The next is up, and as deaf: it doesn't count as back.
  await untilInTime(clock, () => gateway('identify') === 2 && chat.health().ready);
  await pass(2);
  expect(chat.health().lostAgeMs).toBeGreaterThan(7 * MIN);
  stand.gateway.deaf = false;
  await pass(2);
  expect(chat.health().lostAgeMs).toBeUndefined();
  expect(gateway('identify')).toBe(2);
  const answer = await stand.slash(mara, wall, '/post done', { number: 3 });
  expect(answer.text).toContain('Pitch 3 done');
});

it('where what is asked for never came, nothing follows from its staying away', async () => {
  await bot.close();
  bot = await startBot({
    before(stand) {
      stand.gateway.ignoringRequests = true;
    },
  });
  await pass(120);
  expect(gateway('members')).toBeGreaterThan(10);
  expect(again()).toEqual([]);
  expect(gateway('identify')).toBe(1);
});

it('a request through a connection that falls away ends nothing', async () => {
  await pass(1);
  const { stand, chat, clock } = bot;
  stand.gateway.cut();
  await pass(10);
  await untilInTime(clock, () => chat.health().ready);
  await until(() => chat.health().lostAgeMs === undefined);
});
