import { expect } from 'vitest';
import type { DiscordSettings } from '../../../src/chat/discord/client.ts';
import { ScriptClock } from '../../../src/chat/local/script-clock.ts';
import { type Stand, type StandOptions, startStand } from '../../discord/driver.ts';
import { startDiscord } from '../../helpers/bot.ts';
import { chatStore, fakeWorld } from '../fakes.ts';

/** The real client with the fake commands, logged into the stand-in. */
export async function startBot(
  options: {
    settings?: Partial<DiscordSettings>;
    stand?: Partial<StandOptions>;
    /** Before the bot connects. */
    before?(stand: Stand): void;
  } = {},
) {
  const clock = new ScriptClock(Date.UTC(2031, 5, 12, 6, 0));
  const stand = await startStand({ clock, ...options.stand });
  const mara = stand.addUser('Mara');
  const dana = stand.addUser('Dana', { id: '900000000000000001' });
  const guild = stand.addGuild('Lantern Gorge', [mara, dana]);
  const wall = stand.addChannel(guild, 'harrow-tower');
  const gate = gates();
  const store = chatStore([{ id: 'trip0001', channel: wall.id }]);
  const world = fakeWorld(clock, gate.hold, store);
  const start = () =>
    startDiscord({ app: world.app, token: stand.token, apiUrl: stand.apiUrl, ...options.settings });
  options.before?.(stand);
  const chat = await start();
  let closed = false;
  return {
    clock,
    stand,
    mara,
    dana,
    guild,
    wall,
    gate,
    chat,
    outgoing: chat.outgoing,
    start,
    ...world,
    async close() {
      if (closed) return;
      closed = true;
      gate.open();
      await chat.close();
      await stand.close();
    },
  };
}

export type Bot = Awaited<ReturnType<typeof startBot>>;

/** Holds slow commands until it is opened; open from the start. */
function gates() {
  let release: (() => void) | undefined;
  let shut: Promise<void> | undefined;
  return {
    close() {
      shut = new Promise((resolve) => {
        release = resolve;
      });
    },
    open() {
      release?.();
      shut = undefined;
    },
    hold: async () => {
      await shut;
    },
  };
}

/** Lets everything that is ready run, until `done`. */
export async function until(done: () => boolean): Promise<void> {
  while (!done()) await new Promise((resolve) => setImmediate(resolve));
}

/** Turns of the event loop to every 50 ms that pass. */
const TURNS = 25;

/**
 * Lets everything that is ready run and time go on, until `done`. Time goes slowly: were it to pass at
 * every turn, hours would be gone before a slow machine had answered a request.
 */
export async function untilInTime(clock: ScriptClock, done: () => boolean): Promise<void> {
  let turns = 0;
  await until(() => {
    if (done()) return true;
    turns += 1;
    if (turns % TURNS === 0) clock.moveTo(clock.wallMs() + 50);
    return false;
  });
}

/** So often it has logged in. */
export const identifies = ({ stand }: Bot): number =>
  stand.journal.of('gateway').filter((g) => g.what === 'identify').length;

/** Closed with this code it says what mends that, and does not log in again in an hour. */
export async function closedForGood(bot: Bot, code: number): Promise<void> {
  const { stand, chat, clock } = bot;
  const before = identifies(bot);
  stand.gateway.refuse(code);
  await until(() => chat.health().refused !== undefined);
  expect(chat.health()).toMatchObject({
    ready: false,
    refused: expect.stringContaining(String(code)),
  });
  clock.moveTo(clock.wallMs() + 3_600_000);
  expect(chat.health().lostAgeMs).toBeGreaterThanOrEqual(3_600_000);
  expect(identifies(bot)).toBe(before);
}
