import { PermissionFlagsBits as Bits } from 'discord.js';
import { ApiError, refusal } from './errors.ts';
import type { ChannelTrouble, StandChannel } from './model.ts';
import type { World } from './world.ts';

const TROUBLE_CODES: Readonly<Record<ChannelTrouble, number>> = {
  gone: 10003,
  'no-access': 50001,
  'no-permission': 50013,
  archived: 50083,
  locked: 160005,
  'dm-closed': 50007,
  'no-shared-server': 50278,
};

/** Troubles that stop reading too. */
const UNREADABLE: readonly ChannelTrouble[] = ['gone', 'no-access'];

/** Throws what Discord would say to a bot that wants to read here. */
export function mayRead(world: World, channel: StandChannel): void {
  if (world.guildOf(channel)?.kicked === true) throw refusal(50001);
  if (channel.trouble !== undefined && UNREADABLE.includes(channel.trouble)) {
    throw refusal(TROUBLE_CODES[channel.trouble]);
  }
  // resources/channel.mdx: without VIEW_CHANNEL every request about the channel is refused.
  if (!has(channel, Bits.ViewChannel)) throw refusal(50001);
}

/** Throws what Discord would say to a bot that wants to post here. */
export function mayPost(world: World, channel: StandChannel, withFiles: boolean): void {
  mayRead(world, channel);
  if (channel.trouble !== undefined) throw refusal(TROUBLE_CODES[channel.trouble]);
  if (channel.userId !== undefined) {
    const user = world.user(channel.userId);
    if (user.dmClosed) throw refusal(50007);
    if (!world.sharesGuild(user)) throw refusal(50278);
    return;
  }
  // topics/threads.mdx: SEND_MESSAGES has no effect in threads, and nobody writes in one that is locked.
  if (channel.thread?.locked === true) throw refusal(160005);
  const send = channel.thread === undefined ? Bits.SendMessages : Bits.SendMessagesInThreads;
  if (!has(channel, send)) throw refusal(50013);
  if (withFiles && !has(channel, Bits.AttachFiles)) throw refusal(50013);
}

/** Editing and deleting one's own message needs no permission, but a channel that can be written. */
export function mayChange(world: World, channel: StandChannel): void {
  mayRead(world, channel);
  if (channel.trouble === 'archived' || channel.trouble === 'locked') throw refusal(50083);
  // topics/threads.mdx: only active threads can be manipulated.
  if (channel.thread?.archived === true) throw refusal(50083);
}

/**
 * Throws where a thread may not be taken out of the archive: "only the SEND_MESSAGES permission is required" when it
 * isn't locked, else MANAGE_THREADS (resources/channel.mdx, Modify Channel).
 */
export function mayReopen(world: World, channel: StandChannel): void {
  mayRead(world, channel);
  if (channel.trouble !== undefined) throw refusal(TROUBLE_CODES[channel.trouble]);
  const needed = channel.thread?.locked === true ? Bits.ManageThreads : Bits.SendMessagesInThreads;
  if (!has(channel, needed)) throw refusal(50013);
}

/** PIN_MESSAGES is a permission of its own since 2026-02-23: change-log.mdx. */
export function mayPin(world: World, channel: StandChannel): void {
  mayChange(world, channel);
  if (!has(channel, Bits.PinMessages)) throw refusal(50013);
}

export function has(channel: StandChannel, permission: bigint): boolean {
  return channel.userId !== undefined || (channel.botPermissions & permission) === permission;
}

/** topics/opcodes-and-status-codes.mdx: a missing or wrong token. */
export function unauthorised(): ApiError {
  return new ApiError(401, 0, '401: Unauthorized');
}
