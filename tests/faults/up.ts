import type { SpawnedStand } from '../discord/spawned.ts';
import type { BotProcess } from './bot.ts';

/** Resolves once the bot is on the stand-in; rejects when it ends before that. */
export async function up(
  stand: SpawnedStand,
  bot: BotProcess,
  first: boolean,
): Promise<BotProcess> {
  const ready = stand.order({ do: 'next-ready' });
  const died = bot.ended.then(({ code, said: why }) => {
    throw new Error(`the bot did not come up (${code}): ${why}`);
  });
  died.catch(() => undefined);
  await Promise.race([ready, died]);
  if (first) await stand.order({ do: 'registered' });
  return bot;
}
