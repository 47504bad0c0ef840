import { GatewayCloseCodes as Close, GatewayIntentBits as Intent } from 'discord.js';
import { z } from 'zod';
import type { Settings } from '../core.ts';

/** events/gateway-events.mdx, Identify and Resume. */

const ALL_INTENTS = Object.values(Intent)
  .filter((bit) => typeof bit === 'number')
  .reduce((sum, bit) => sum | bit, 0);

/** events/gateway.mdx, Privileged Intents. */
const PRIVILEGED = Intent.GuildMembers | Intent.GuildPresences | Intent.MessageContent;

export const identifyBody = z.strictObject({
  token: z.string(),
  properties: z.strictObject({ os: z.string(), browser: z.string(), device: z.string() }),
  compress: z.boolean().optional(),
  large_threshold: z.int().min(50).max(250).optional(),
  shard: z.tuple([z.int().min(0), z.int().min(1)]).optional(),
  presence: z.looseObject({}).optional(),
  intents: z.int().min(0),
});

export const resumeBody = z.strictObject({
  token: z.string(),
  session_id: z.string(),
  seq: z.int().min(0),
});

/** events/gateway-events.mdx, Request Guild Members: whole lists need an intent that we don't ask for. */
export const membersBody = z.strictObject({
  guild_id: z.string(),
  user_ids: z.union([z.string(), z.array(z.string()).max(100)]),
  nonce: z.string().max(32).optional(),
});

/** topics/opcodes-and-status-codes.mdx, Gateway Close Event Codes; undefined when it may come in. */
export function identifyRefusal(
  body: z.infer<typeof identifyBody>,
  settings: Settings,
): Close | undefined {
  if (body.token !== settings.token) return Close.AuthenticationFailed;
  if ((body.intents & ~ALL_INTENTS) !== 0) return Close.InvalidIntents;
  if ((body.intents & PRIVILEGED & ~settings.privilegedIntents) !== 0)
    return Close.DisallowedIntents;
  const [id, count] = body.shard ?? [0, 1];
  return id < count ? undefined : Close.InvalidShard;
}
