import {
  type AutocompleteInteraction,
  type ButtonInteraction,
  type ChatInputCommandInteraction,
  type CommandInteractionOption,
  type MessageContextMenuCommandInteraction,
  type ModalSubmitInteraction,
  PermissionFlagsBits,
} from 'discord.js';
import type { Call, RawArgs, RawValue, UserArg } from '../../app/command.ts';
import { isLocale } from '../../say/contact/languages.ts';
import type { Clock } from '../../time/clock.ts';
import { discordFile } from './attachment.ts';

export type Answerable =
  | ChatInputCommandInteraction
  | MessageContextMenuCommandInteraction
  | ButtonInteraction
  | ModalSubmitInteraction;

/** In a channel, or in a thread of it. */
const WRITES = [PermissionFlagsBits.SendMessages, PermissionFlagsBits.SendMessagesInThreads];

/** Who asks, where and when; `trip` comes from the button that was pressed. */
export function callOf(
  interaction: Answerable | AutocompleteInteraction,
  clock: Clock,
  trip?: string,
): Call {
  const { guildId } = interaction;
  // Of this channel, its own overwrites included. Undefined in a direct message.
  const rights = interaction.memberPermissions;
  const manager = rights?.has(PermissionFlagsBits.ManageGuild) === true;
  const moderator = rights?.has(PermissionFlagsBits.ManageMessages) === true;
  const silent = rights != null && !rights.any(WRITES);
  return {
    id: interaction.id,
    atMs: clock.wallMs(),
    actor: person(interaction.user, interaction.member),
    ...(isLocale(interaction.locale) ? { locale: interaction.locale } : {}),
    ...(manager ? { manager } : {}),
    ...(moderator ? { moderator } : {}),
    ...(silent ? { silent } : {}),
    where: {
      channel: interaction.channelId ?? '',
      direct: guildId === null,
      ...(guildId === null ? {} : { guild: guildId }),
    },
    ...(trip === undefined ? {} : { trip }),
  };
}

/** `pitch done` and its options by name. */
export function slashOf(
  interaction: ChatInputCommandInteraction | AutocompleteInteraction,
  clock: Clock,
): { path: string; raw: RawArgs } {
  const sub = interaction.options.getSubcommand(false);
  const path = sub === null ? interaction.commandName : `${interaction.commandName} ${sub}`;
  const given = interaction.options.data;
  const options = sub === null ? given : (given[0]?.options ?? []);
  const { api } = interaction.client.rest.options;
  const raw = Object.fromEntries(options.map((o) => [o.name, rawValue(o, clock, api)]));
  return { path, raw };
}

function rawValue(
  option: CommandInteractionOption,
  clock: Clock,
  api: string,
): RawValue | undefined {
  if (option.user !== undefined) return person(option.user, option.member ?? null);
  if (option.attachment !== undefined) return discordFile(option.attachment, clock, api);
  return option.value;
}

/** The name people see in this server, else the one the person goes by. */
export function person(user: { id: string; displayName: string }, member: object | null): UserArg {
  const { displayName, nick } = (member ?? {}) as { displayName?: string; nick?: string | null };
  return { id: user.id, name: displayName ?? nick ?? user.displayName };
}
