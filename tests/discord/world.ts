import { PermissionFlagsBits } from 'discord.js';
import type { StandClock } from './clock.ts';
import { refusal } from './errors.ts';
import type {
  Command,
  StandChannel,
  StandFile,
  StandGuild,
  StandInteraction,
  StandMessage,
  StandUser,
} from './model.ts';

/** Snowflakes count from here: reference.mdx, Snowflakes. */
const DISCORD_EPOCH_MS = 1_420_070_400_000;

/** A clock set to an early year still gives ids of the usual eighteen or nineteen digits. */
const EARLIEST_MS = 400_000_000_000;

/** What a bot invited with the usual permissions may do in a text channel. */
export const USUAL_PERMISSIONS =
  PermissionFlagsBits.ViewChannel |
  PermissionFlagsBits.SendMessages |
  PermissionFlagsBits.SendMessagesInThreads |
  PermissionFlagsBits.EmbedLinks |
  PermissionFlagsBits.AttachFiles |
  PermissionFlagsBits.ReadMessageHistory |
  PermissionFlagsBits.PinMessages |
  PermissionFlagsBits.UseApplicationCommands;

/** What everybody on a new server may do: `@everyone` as it is made. */
export const EVERYONE =
  PermissionFlagsBits.ViewChannel |
  PermissionFlagsBits.SendMessages |
  PermissionFlagsBits.SendMessagesInThreads |
  PermissionFlagsBits.UseApplicationCommands;

/** Everything the stand-in knows. Nothing here speaks HTTP or sockets. */
export class World {
  readonly users = new Map<string, StandUser>();
  readonly guilds = new Map<string, StandGuild>();
  readonly channels = new Map<string, StandChannel>();
  readonly messages = new Map<string, StandMessage>();
  readonly interactions = new Map<string, StandInteraction>();
  readonly byToken = new Map<string, StandInteraction>();
  /** Last message with a nonce, by channel and nonce. */
  readonly byNonce = new Map<string, StandMessage>();
  readonly #dms = new Map<string, StandChannel>();
  readonly files = new Map<string, StandFile>();
  /** By scope: 'global' or a guild's id. */
  readonly commands = new Map<string, Command[]>();
  readonly bot: StandUser;
  readonly #clock: StandClock;
  #count = 0;
  #idMs = EARLIEST_MS;

  constructor(clock: StandClock) {
    this.#clock = clock;
    this.bot = this.addUser('tagline', { bot: true });
  }

  /** Ids grow with the clock and with the count, and never shrink when the clock is set back. */
  nextId(): string {
    this.#count += 1;
    this.#idMs = Math.max(this.#idMs, Math.trunc(this.#clock.wallMs() - DISCORD_EPOCH_MS));
    return ((BigInt(this.#idMs) << 22n) + BigInt(this.#count)).toString();
  }

  addUser(name: string, given: Partial<StandUser> = {}): StandUser {
    const user: StandUser = {
      id: this.nextId(),
      username: name.toLowerCase().replace(/[^a-z0-9_.]/gu, '_'),
      name,
      bot: false,
      locale: 'en-GB',
      dmClosed: false,
      ...given,
    };
    this.users.set(user.id, user);
    return user;
  }

  addGuild(name: string, owner: StandUser): StandGuild {
    const guild: StandGuild = {
      id: this.nextId(),
      name,
      ownerId: owner.id,
      members: new Map([
        [owner.id, PermissionFlagsBits.Administrator],
        [this.bot.id, USUAL_PERMISSIONS],
      ]),
      kicked: false,
    };
    this.guilds.set(guild.id, guild);
    return guild;
  }

  addChannel(name: string, given: Partial<StandChannel>): StandChannel {
    const channel: StandChannel = {
      id: this.nextId(),
      name,
      botPermissions: USUAL_PERMISSIONS,
      messages: [],
      ...given,
    };
    this.channels.set(channel.id, channel);
    return channel;
  }

  /** The direct-message channel between the bot and this person, opened when needed. */
  dmWith(user: StandUser): StandChannel {
    const open = this.#dms.get(user.id) ?? this.addChannel(user.name, { userId: user.id });
    this.#dms.set(user.id, open);
    return open;
  }

  guildOf(channel: StandChannel): StandGuild | undefined {
    return channel.guildId === undefined ? undefined : this.guilds.get(channel.guildId);
  }

  /** True when the person and the bot are in a server together. */
  sharesGuild(user: StandUser): boolean {
    return [...this.guilds.values()].some((g) => !g.kicked && g.members.has(user.id));
  }

  user(id: string): StandUser {
    const user = this.users.get(id);
    if (user === undefined) throw refusal(10013);
    return user;
  }

  channel(id: string): StandChannel {
    const channel = this.channels.get(id);
    if (channel === undefined || channel.trouble === 'gone') throw refusal(10003);
    return channel;
  }

  /** A message people can see in a channel; ephemeral ones are not to be had this way. */
  message(channel: StandChannel, id: string): StandMessage {
    const message = this.messages.get(id);
    const there = message?.channelId === channel.id && !message.deleted;
    if (message === undefined || !there || message.onlyFor !== undefined) throw refusal(10008);
    return message;
  }

  commandsIn(scope: string): Command[] {
    return this.commands.get(scope) ?? [];
  }
}
