/**
 * Commands a second through the loopback stand-in. The stand-in runs in a process of its own, so that
 * what is measured is the bot and not its surroundings. A bare discord.js bot that only echoes is
 * what the real one is held against, in the same run.
 */
import { performance } from 'node:perf_hooks';
import { fileURLToPath } from 'node:url';
import { Client, Events, GatewayIntentBits as Intent } from 'discord.js';
import type { Order } from '../discord/remote.ts';
import { spawnStand } from '../discord/spawned.ts';

export interface RunningBot {
  close(): Promise<void>;
}

/** Logs a bot in at this address and has its commands registered before it resolves. */
export type StartBot = (at: { apiUrl: string; token: string }) => Promise<RunningBot>;

export interface Asked {
  path: string;
  /** Taken in turn, again and again. */
  options: NonNullable<Extract<Order, { do: 'burst' }>['options']>;
  /** Commands under way at the same time. */
  atOnce?: number;
  /** Channels there are besides, and are asked in, in turn. */
  channels?: readonly string[];
  /** Carried out once before, such as opening a trip. */
  before?: readonly Order[];
  /** Compiled process.js; the one beside this file unless set. */
  script?: string;
  /** The stand-in's clock stands, so that no answer is too late. */
  still?: boolean;
}

/** The person and the channel that ask; for orders in `before`. */
export const ASKER = { user: 'Mara', channel: 'harrow-tower' } as const;

export const ECHO: Asked = { path: '/echo', options: [{ text: 'Pitch 5 done at 14:22.' }] };

/**
 * Answered commands a second over `n` commands, after a tenth as many to warm up. Rejects when a
 * single one goes unanswered or Discord would have refused its answer.
 */
export async function commandsPerSecond(
  start: StartBot,
  n: number,
  asked: Asked = ECHO,
): Promise<number> {
  const beside = fileURLToPath(new URL('../discord/process.js', import.meta.url));
  const flags = ['--quiet', ...(asked.still ? ['--still'] : [])];
  const stand = await spawnStand(asked.script ?? beside, flags);
  try {
    await stand.order({ do: 'user', name: ASKER.user });
    await stand.order({ do: 'guild', name: 'Lantern Gorge', members: [ASKER.user] });
    const { channels = [] } = asked;
    for (const name of new Set([ASKER.channel, ...channels])) {
      await stand.order({ do: 'channel', guild: 'Lantern Gorge', name });
    }
    const bot = await start(stand);
    try {
      await stand.order({ do: 'registered' });
      for (const order of asked.before ?? []) await stand.order(order);
      const burst = (count: number) => {
        const { path, options, atOnce = 1 } = asked;
        const where = channels.length === 0 ? {} : { channels: [...channels] };
        return stand.order({ do: 'burst', ...ASKER, ...where, path, options, count, atOnce });
      };
      await burst(Math.ceil(n / 10));
      const startMs = performance.now();
      await burst(n);
      return n / ((performance.now() - startMs) / 1000);
    } finally {
      await bot.close();
    }
  } finally {
    await stand.close();
  }
}

/** The least a discord.js bot can do: one command, answered with its own text. */
export const startEchoBot: StartBot = async ({ apiUrl, token }) => {
  const client = new Client({
    intents: [Intent.Guilds],
    allowedMentions: { parse: [] },
    rest: { api: apiUrl },
  });
  const failures: unknown[] = [];
  client.on(Events.InteractionCreate, (interaction) => {
    if (!interaction.isChatInputCommand()) return;
    const text = interaction.options.getString('text', true);
    interaction.reply(text).catch((error: unknown) => failures.push(error));
  });
  const ready = new Promise((resolve) => client.once(Events.ClientReady, resolve));
  await client.login(token);
  await ready;
  await client.application?.commands.set([
    {
      name: 'echo',
      description: 'Says it again.',
      options: [{ type: 3, name: 'text', description: 'What to say.', required: true }],
    },
  ]);
  return {
    async close() {
      await client.destroy();
      if (failures.length > 0) throw new AggregateError(failures, 'some answers failed');
    },
  };
};
