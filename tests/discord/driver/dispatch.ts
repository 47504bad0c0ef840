import type { Core } from '../core.ts';
import type { StandChannel, StandInteraction, StandMessage, StandUser } from '../model.ts';
import { channelJson, memberJson, messageJson, userJson } from '../payloads.ts';
import { interactionTypeOf } from '../rest/interactions.ts';
import { cannot } from './client-refusal.ts';

export interface Sending {
  type: StandInteraction['type'];
  user: StandUser;
  channel: StandChannel;
  data: object;
  /** For the journal: what the person did. */
  what: string;
  source?: StandMessage | undefined;
  focusedType?: number | undefined;
}

/** Sends INTERACTION_CREATE: receiving-and-responding.mdx, Interaction Structure. */
export function sendInteraction(core: Core, sending: Sending): StandInteraction {
  const { type, user, channel, what, source, focusedType } = sending;
  // topics/threads.mdx, Active & Archived Threads.
  if (channel.thread?.archived === true) cannot('nobody uses commands in an archived thread');
  const id = core.world.nextId();
  const interaction: StandInteraction = {
    id,
    // Long and not to be guessed, as Discord's are; the bot must take it as it comes.
    token: Buffer.from(`interaction:${id}:${'x'.repeat(96)}`).toString('base64url'),
    type,
    userId: user.id,
    channelId: channel.id,
    payload: {},
    dispatchedAtMs: core.clock.wallMs(),
    messages: [],
    answered: false,
    refusals: [],
    watchers: new Set(),
    ...(source === undefined ? {} : { source }),
    ...(focusedType === undefined ? {} : { focusedType }),
  };
  interaction.payload = payloadOf(core, interaction, sending);
  core.world.interactions.set(id, interaction);
  core.world.byToken.set(interaction.token, interaction);
  const where = { userId: user.id, channelId: channel.id };
  core.journal.add({ kind: 'interaction', id, type, ...where, what });
  deliver(core, interaction);
  return interaction;
}

/** Sends it, the first time or again. */
export function deliver(core: Core, interaction: StandInteraction): void {
  const channel = core.world.channels.get(interaction.channelId);
  const heard = core.gateway.dispatch('INTERACTION_CREATE', interaction.payload, channel?.guildId);
  if (heard === 0) throw new Error('no bot is connected to the stand-in, nor may one resume');
}

function payloadOf(core: Core, interaction: StandInteraction, sending: Sending): object {
  const { user, channel, data, source } = sending;
  const guild = core.world.guildOf(channel);
  const permissions = channel.botPermissions.toString();
  return {
    id: interaction.id,
    application_id: core.world.bot.id,
    type: interactionTypeOf(interaction),
    token: interaction.token,
    version: 1,
    data,
    channel_id: channel.id,
    channel: { ...channelJson(core.world, channel), app_permissions: permissions },
    app_permissions: permissions,
    locale: user.locale,
    entitlements: [],
    attachment_size_limit: core.settings.fileBytesMax,
    ...(source === undefined ? {} : { message: messageJson(core.world, source) }),
    ...(guild === undefined
      ? { user: userJson(user), context: 1, authorizing_integration_owners: { 0: '0' } }
      : {
          guild_id: guild.id,
          guild: { id: guild.id, locale: 'en-US', features: [] },
          guild_locale: 'en-US',
          member: {
            ...memberJson(user),
            permissions: (guild.members.get(user.id) ?? 0n).toString(),
          },
          context: 0,
          authorizing_integration_owners: { 0: guild.id },
        }),
  };
}
