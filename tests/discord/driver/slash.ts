import { ApplicationCommandType, ApplicationCommandOptionType as Type } from 'discord.js';
import type { Core } from '../core.ts';
import type { StandChannel, StandInteraction, StandMessage, StandUser } from '../model.ts';
import { messageJson } from '../payloads.ts';
import { cannot } from './client-refusal.ts';
import { findDefinition } from './definition.ts';
import { sendInteraction } from './dispatch.ts';
import { checkRequired, fillIn, type GivenOptions, type OptionData } from './options.ts';

/** receiving-and-responding.mdx, Application Command Data: subcommands wrap the options. */
function nested(below: readonly string[], options: readonly OptionData[]): object[] {
  const [name, ...rest] = below;
  if (name === undefined) return [...options];
  const type = rest.length === 0 ? Type.Subcommand : Type.SubcommandGroup;
  return [{ type, name, options: nested(rest, options) }];
}

export function runCommand(
  core: Core,
  user: StandUser,
  channel: StandChannel,
  path: string,
  given: GivenOptions,
): StandInteraction {
  const { command, below, options } = findDefinition(core.world, user, channel, path);
  checkRequired(options, given);
  const filled = fillIn(core, channel, options, given);
  return sendInteraction(core, {
    type: 'command',
    user,
    channel,
    data: {
      id: command.id,
      name: command.name,
      type: ApplicationCommandType.ChatInput,
      options: nested(below, filled.options),
      ...(Object.keys(filled.resolved).length === 0 ? {} : { resolved: filled.resolved }),
      ...(command.guild_id === undefined ? {} : { guild_id: command.guild_id }),
    },
    what: [path, ...filled.options.map((o) => `${o.name}:${o.value}`)].join(' '),
  });
}

/** A command in the menu of a message: application-commands.mdx, Message Commands. */
export function useMessage(
  core: Core,
  user: StandUser,
  message: StandMessage,
  name: string,
): StandInteraction {
  const channel = core.world.channels.get(message.channelId);
  if (channel === undefined) return cannot('the channel is gone');
  const scopes = ['global', ...(channel.guildId === undefined ? [] : [channel.guildId])];
  const command = scopes
    .flatMap((scope) => core.world.commandsIn(scope))
    .find((c) => c.type === ApplicationCommandType.Message && c.name === name);
  if (command === undefined) return cannot(`no message command ${name}`);
  return sendInteraction(core, {
    type: 'command',
    user,
    channel,
    data: {
      id: command.id,
      name,
      type: ApplicationCommandType.Message,
      target_id: message.id,
      resolved: { messages: { [message.id]: messageJson(core.world, message) } },
    },
    what: `${name}: ${message.content}`,
  });
}

/** Asks for suggestions while `typing[1]` stands in the option `typing[0]`; the rest is filled in. */
export function askSuggestions(
  core: Core,
  user: StandUser,
  channel: StandChannel,
  path: string,
  typing: readonly [option: string, text: string],
  given: GivenOptions,
): StandInteraction {
  const [name, text] = typing;
  const { command, below, options } = findDefinition(core.world, user, channel, path);
  const definition = options.find((o) => o.name === name);
  if (definition === undefined) return cannot(`no option ${name}`);
  if (!('autocomplete' in definition) || definition.autocomplete !== true) {
    return cannot(`${name} offers no suggestions`);
  }
  const filled = fillIn(core, channel, options, given);
  // What is being typed goes out as it stands, unchecked, and as text even for a number.
  const focused: OptionData = { name, type: definition.type, value: text, focused: true };
  return sendInteraction(core, {
    type: 'autocomplete',
    user,
    channel,
    data: {
      id: command.id,
      name: command.name,
      type: ApplicationCommandType.ChatInput,
      options: nested(below, [...filled.options, focused]),
    },
    what: `${path} ${name}:${text}…`,
    focusedType: definition.type,
  });
}
