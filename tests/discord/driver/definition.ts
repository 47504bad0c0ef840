import {
  type APIApplicationCommandBasicOption,
  type APIApplicationCommandOption,
  ApplicationCommandType,
  InteractionContextType,
  PermissionFlagsBits,
  ApplicationCommandOptionType as Type,
} from 'discord.js';
import type { Command, StandChannel, StandUser } from '../model.ts';
import type { World } from '../world.ts';
import { cannot } from './client-refusal.ts';

export interface Found {
  command: Command;
  /** Group and subcommand names below the command. */
  below: readonly string[];
  options: readonly APIApplicationCommandBasicOption[];
}

/** The definition behind `/pitch done` as this person sees it here, or a refusal. */
export function findDefinition(
  world: World,
  user: StandUser,
  channel: StandChannel,
  path: string,
): Found {
  const [name = '', ...below] = path.replace(/^\//u, '').split(' ');
  const here = [
    ...(channel.guildId === undefined ? [] : world.commandsIn(channel.guildId)),
    ...world.commandsIn('global'),
  ].filter((c) => c.type === ApplicationCommandType.ChatInput);
  const command = here.find((c) => c.name === name);
  if (command === undefined) {
    return cannot(
      `no command /${name}; registered: ${here.map((c) => c.name).join(', ') || 'none'}`,
    );
  }
  checkContext(command, channel);
  checkMember(world, command, user, channel);
  return { command, below, options: descend(path, command.options ?? [], below) };
}

function descend(
  path: string,
  options: readonly APIApplicationCommandOption[],
  below: readonly string[],
): readonly APIApplicationCommandBasicOption[] {
  const [next, ...rest] = below;
  const nested = options.some((o) => o.type === Type.Subcommand || o.type === Type.SubcommandGroup);
  if (next === undefined) {
    if (nested)
      return cannot(`${path} needs a subcommand: ${options.map((o) => o.name).join(', ')}`);
    return options as readonly APIApplicationCommandBasicOption[];
  }
  const found = options.find((o) => o.name === next);
  if (found?.type !== Type.Subcommand && found?.type !== Type.SubcommandGroup) {
    return cannot(`${path} has no subcommand ${next}: ${options.map((o) => o.name).join(', ')}`);
  }
  return descend(path, found.options ?? [], rest);
}

/** interactions/application-commands.mdx, Interaction Contexts; none given means everywhere. */
function checkContext(command: Command, channel: StandChannel): void {
  const context =
    channel.guildId === undefined ? InteractionContextType.BotDM : InteractionContextType.Guild;
  const { contexts } = command;
  if (contexts !== null && contexts !== undefined && !contexts.includes(context)) {
    cannot(
      `/${command.name} is not offered ${context === 0 ? 'in servers' : 'in direct messages'}`,
    );
  }
}

/** Same page: `default_member_permissions`; "0" leaves it to administrators. */
function checkMember(world: World, command: Command, user: StandUser, channel: StandChannel): void {
  const guild = world.guildOf(channel);
  if (guild === undefined) {
    if (channel.userId !== user.id) cannot(`${user.name} is not in this direct message`);
    return;
  }
  const own = guild.members.get(user.id) ?? cannot(`${user.name} is not in ${guild.name}`);
  const needed = command.default_member_permissions;
  if (needed === null || needed === undefined) return;
  const admin = (own & PermissionFlagsBits.Administrator) !== 0n;
  const enough = needed !== '0' && (own & BigInt(needed)) === BigInt(needed);
  if (!admin && !enough) cannot(`/${command.name} is not offered to ${user.name}`);
}
