import {
  type APIChannel,
  type APIMessage,
  type APIMessageInteractionMetadata,
  type APIUser,
  ChannelType,
  InteractionType,
  MessageFlags,
  PermissionFlagsBits,
} from 'discord.js';
import type { StandChannel, StandGuild, StandMessage, StandThread, StandUser } from './model.ts';
import type { World } from './world.ts';

/** Discord's JSON for what the stand-in keeps. Field lists: resources/{user,guild,channel,message}.mdx. */

export const isoOf = (ms: number) => new Date(ms).toISOString().replace('Z', '+00:00');

export function userJson(user: StandUser): APIUser {
  return {
    id: user.id,
    username: user.username,
    global_name: user.bot ? null : user.name,
    discriminator: user.bot ? '0001' : '0',
    avatar: null,
    bot: user.bot,
  };
}

export function memberJson(user: StandUser, joinedAtMs = 0) {
  return {
    user: userJson(user),
    nick: null,
    avatar: null,
    roles: [],
    joined_at: isoOf(joinedAtMs),
    deaf: false,
    mute: false,
    flags: 0,
    pending: false,
  };
}

export function channelJson(world: World, channel: StandChannel): APIChannel {
  const last = channel.messages.at(-1)?.id ?? null;
  if (channel.userId !== undefined) {
    return {
      id: channel.id,
      type: ChannelType.DM,
      last_message_id: last,
      name: null,
      recipients: [userJson(world.user(channel.userId))],
    };
  }
  if (channel.thread !== undefined) return threadJson(channel, channel.thread);
  return {
    id: channel.id,
    type: ChannelType.GuildText,
    guild_id: channel.guildId ?? '0',
    name: channel.name,
    position: 0,
    permission_overwrites: overwrites(world, channel),
    last_message_id: last,
    topic: null,
    nsfw: false,
    parent_id: null,
    rate_limit_per_user: 0,
  };
}

/** topics/threads.mdx: a channel with a parent; what people may do in it hangs on the parent's settings. */
function threadJson(channel: StandChannel, thread: StandThread): APIChannel {
  return {
    id: channel.id,
    type: ChannelType.PublicThread,
    guild_id: channel.guildId ?? '0',
    name: channel.name,
    parent_id: thread.parentId,
    owner_id: channel.guildId ?? '0',
    last_message_id: channel.messages.at(-1)?.id ?? null,
    rate_limit_per_user: 0,
    message_count: channel.messages.length,
    total_message_sent: channel.messages.length,
    member_count: 2,
    applied_tags: [],
    thread_metadata: {
      archived: thread.archived,
      locked: thread.locked,
      auto_archive_duration: 60,
      archive_timestamp: isoOf(0),
    },
  };
}

/** So that discord.js itself comes to the same permissions as the stand-in. */
function overwrites(world: World, channel: StandChannel) {
  const all = Object.values(PermissionFlagsBits).reduce((sum, bit) => sum | bit, 0n);
  return [
    {
      id: world.bot.id,
      type: 1,
      allow: channel.botPermissions.toString(),
      deny: (all & ~channel.botPermissions).toString(),
    },
  ];
}

export function guildJson(world: World, guild: StandGuild) {
  return {
    id: guild.id,
    name: guild.name,
    icon: null,
    splash: null,
    discovery_splash: null,
    owner_id: guild.ownerId,
    region: 'deprecated',
    afk_channel_id: null,
    afk_timeout: 300,
    verification_level: 0,
    default_message_notifications: 1,
    explicit_content_filter: 0,
    roles: [everyoneRole(guild)],
    emojis: [],
    stickers: [],
    features: [],
    mfa_level: 0,
    application_id: null,
    system_channel_id: null,
    system_channel_flags: 0,
    rules_channel_id: null,
    vanity_url_code: null,
    description: null,
    banner: null,
    premium_tier: 0,
    preferred_locale: 'en-US',
    public_updates_channel_id: null,
    nsfw_level: 0,
    premium_progress_bar_enabled: false,
    safety_alerts_channel_id: null,
    joined_at: isoOf(0),
    large: false,
    unavailable: false,
    member_count: guild.members.size,
    voice_states: [],
    // Without the members intent only the bot itself is in the list: events/gateway.mdx.
    members: [memberJson(world.bot)],
    channels: channelsOf(world, guild)
      .filter((c) => c.thread === undefined)
      .map((c) => channelJson(world, c)),
    // Active ones only: topics/threads.mdx, Gateway Events.
    threads: channelsOf(world, guild)
      .filter((c) => c.thread?.archived === false)
      .map((c) => channelJson(world, c)),
    presences: [],
    stage_instances: [],
    guild_scheduled_events: [],
    soundboard_sounds: [],
  };
}

export function channelsOf(world: World, guild: StandGuild): StandChannel[] {
  return [...world.channels.values()].filter((c) => c.guildId === guild.id && c.trouble !== 'gone');
}

function everyoneRole(guild: StandGuild) {
  return {
    id: guild.id,
    name: '@everyone',
    color: 0,
    colors: { primary_color: 0, secondary_color: null, tertiary_color: null },
    hoist: false,
    position: 0,
    permissions: '0',
    managed: false,
    mentionable: false,
    flags: 0,
  };
}

/** resources/message.mdx, Message Interaction Metadata: on answers and their follow-ups. */
function metadata(world: World, id: string): APIMessageInteractionMetadata {
  const user = world.user(world.interactions.get(id)?.userId ?? world.bot.id);
  return {
    id,
    type: InteractionType.ApplicationCommand,
    user: userJson(user),
    authorizing_integration_owners: {},
  } as APIMessageInteractionMetadata;
}

export function messageJson(world: World, message: StandMessage): APIMessage {
  const mentioned = [...message.content.matchAll(/<@!?(\d+)>/gu)].map((m) => m[1] ?? '');
  const flags =
    message.flags |
    (message.onlyFor === undefined ? 0 : MessageFlags.Ephemeral) |
    (message.loading ? MessageFlags.Loading : 0);
  return {
    id: message.id,
    channel_id: message.channelId,
    author: userJson(world.user(message.authorId)),
    // What a message of components only says stands in them.
    content: (message.flags & MessageFlags.IsComponentsV2) === 0 ? message.content : '',
    timestamp: isoOf(message.createdAtMs),
    edited_timestamp: message.editedAtMs === undefined ? null : isoOf(message.editedAtMs),
    tts: message.tts,
    mention_everyone: message.pings.everyone,
    mentions: [...new Set(mentioned)].flatMap((id) => {
      const user = world.users.get(id);
      return user === undefined ? [] : [userJson(user)];
    }),
    mention_roles: message.pings.roles,
    attachments: message.files.map((f) => f.attachment),
    embeds: message.embeds,
    components: message.components,
    pinned: message.pinnedAtMs !== undefined,
    type: message.repliesTo === undefined ? 0 : 19,
    flags,
    ...(message.nonce === undefined ? {} : { nonce: message.nonce }),
    ...(message.interactionId === undefined
      ? {}
      : { webhook_id: world.bot.id, interaction_metadata: metadata(world, message.interactionId) }),
    ...(message.authorId === world.bot.id ? { application_id: world.bot.id } : {}),
    ...(message.repliesTo === undefined
      ? {}
      : { message_reference: { message_id: message.repliesTo, channel_id: message.channelId } }),
  };
}
