import { PermissionFlagsBits } from 'discord.js';
import { z } from 'zod';
import { addMessage, deleteMessage, editMessage } from '../compose.ts';
import type { Core } from '../core.ts';
import { refusal } from '../errors.ts';
import type { StandChannel, StandMessage } from '../model.ts';
import { messageJson, userJson } from '../payloads.ts';
import { has, mayChange, mayPost, mayRead } from '../permissions.ts';
import { DEFAULT_ALLOWED } from '../pings.ts';
import { messageCreate, messageEdit } from '../schemas/message.ts';
import { snowflake } from '../schemas/primitives.ts';
import { parse } from './parse.ts';
import { type Handler, NO_CONTENT, ok, type Route } from './request.ts';

/** resources/message.mdx, the message endpoints of a channel. */

const create: Handler = (core, { params, json, files }) => {
  const channel = core.world.channel(params.channel ?? '');
  const body = parse(messageCreate, json);
  mayPost(core.world, channel, files.length > 0);
  const first = folded(core, channel, body.enforce_nonce === true ? body.nonce : undefined);
  if (first !== undefined) return ok(messageJson(core.world, first));
  const reference = body.message_reference;
  if (reference?.fail_if_not_exists !== false && reference != null) {
    core.world.message(channel, reference.message_id);
  }
  const message = addMessage(core, channel, body, files, {
    authorId: core.world.bot.id,
    defaults: DEFAULT_ALLOWED.message,
    nonce: body.nonce ?? undefined,
    repliesTo: reference?.message_id,
  });
  core.gateway.messageCreated(message);
  return ok(messageJson(core.world, message));
};

/**
 * Create Message, `enforce_nonce`: the same author's message with this nonce from the past few
 * minutes is given back and no new one is made.
 */
function folded(
  core: Core,
  channel: StandChannel,
  nonce: string | number | null | undefined,
): StandMessage | undefined {
  if (nonce === undefined || nonce === null) return undefined;
  const sinceMs = core.clock.wallMs() - core.settings.nonceMs;
  const first = core.world.byNonce.get(`${channel.id} ${nonce}`);
  if (first === undefined || first.createdAtMs < sinceMs) return undefined;
  core.journal.add({ kind: 'folded', id: first.id, channelId: channel.id, nonce });
  return first;
}

const edit: Handler = (core, { params, json, files }) => {
  const channel = core.world.channel(params.channel ?? '');
  const message = core.world.message(channel, params.message ?? '');
  mayChange(core.world, channel);
  if (message.authorId !== core.world.bot.id) throw refusal(50005);
  editMessage(core, message, parse(messageEdit, json), files);
  core.gateway.messageUpdated(message);
  return ok(messageJson(core.world, message));
};

const remove: Handler = (core, { params }) => {
  const channel = core.world.channel(params.channel ?? '');
  const message = core.world.message(channel, params.message ?? '');
  mayChange(core.world, channel);
  const own = message.authorId === core.world.bot.id;
  if (!own && (channel.userId !== undefined || !has(channel, PermissionFlagsBits.ManageMessages))) {
    throw refusal(50013);
  }
  deleteMessage(core, message);
  return NO_CONTENT;
};

const get: Handler = (core, { params }) => {
  const channel = core.world.channel(params.channel ?? '');
  mayRead(core.world, channel);
  return ok(seenByBot(core, channel, core.world.message(channel, params.message ?? '')));
};

const listQuery = z.strictObject({
  limit: z.coerce.number().int().min(1).max(100).default(50),
  before: snowflake.optional(),
  after: snowflake.optional(),
  around: snowflake.optional(),
});

/** Newest first. Without READ_MESSAGE_HISTORY nothing is returned: Get Channel Messages. */
const list: Handler = (core, { params, query }) => {
  const channel = core.world.channel(params.channel ?? '');
  mayRead(core.world, channel);
  const { limit, before, after } = parse(listQuery, Object.fromEntries(query));
  if (!has(channel, PermissionFlagsBits.ReadMessageHistory)) return ok([]);
  const seen = channel.messages
    .filter((m) => m.onlyFor === undefined)
    .filter((m) => before === undefined || BigInt(m.id) < BigInt(before))
    .filter((m) => after === undefined || BigInt(m.id) > BigInt(after));
  const page = after === undefined ? seen.slice(-limit) : seen.slice(0, limit);
  return ok(page.reverse().map((m) => seenByBot(core, channel, m)));
};

/**
 * events/gateway.mdx, Message Content Intent: without it what others wrote comes empty, except in
 * direct messages and where the bot is mentioned.
 */
export function seenByBot(core: Core, channel: StandChannel, message: StandMessage): object {
  const json = messageJson(core.world, message);
  const open =
    message.authorId === core.world.bot.id ||
    channel.userId !== undefined ||
    message.content.includes(`<@${core.world.bot.id}>`) ||
    core.gateway.mayReadContent;
  return open ? json : { ...json, content: '', embeds: [], attachments: [], components: [] };
}

/** resources/user.mdx, Create DM. */
const createDm: Handler = (core, { json }) => {
  const { recipient_id } = parse(z.strictObject({ recipient_id: snowflake }), json);
  const user = core.world.users.get(recipient_id);
  if (user === undefined || user.bot) throw refusal(50033);
  const channel = core.world.dmWith(user);
  return ok({
    id: channel.id,
    type: 1,
    last_message_id: channel.messages.at(-1)?.id ?? null,
    recipients: [userJson(user)],
  });
};

const typing: Handler = (core, { params }) => {
  const channel = core.world.channel(params.channel ?? '');
  mayPost(core.world, channel, false);
  return NO_CONTENT;
};

export const messageRoutes: readonly Route[] = [
  { route: 'POST /users/@me/channels', handle: createDm },
  { route: 'POST /channels/:channel/typing', handle: typing },
  {
    route: 'GET /channels/:channel/messages',
    handle: list,
    query: ['limit', 'before', 'after', 'around'],
  },
  { route: 'POST /channels/:channel/messages', handle: create },
  { route: 'GET /channels/:channel/messages/:message', handle: get },
  { route: 'PATCH /channels/:channel/messages/:message', handle: edit },
  { route: 'DELETE /channels/:channel/messages/:message', handle: remove },
];
