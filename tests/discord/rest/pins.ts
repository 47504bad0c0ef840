import { z } from 'zod';
import { refusal } from '../errors.ts';
import { MESSAGE } from '../limits.ts';
import type { StandChannel, StandMessage } from '../model.ts';
import { isoOf } from '../payloads.ts';
import { mayPin, mayRead } from '../permissions.ts';
import { seenByBot } from './messages.ts';
import { parse } from './parse.ts';
import { type Handler, NO_CONTENT, ok, type Route } from './request.ts';

/** resources/message.mdx, Get Channel Pins, Pin Message; the older routes are still served. */

function pinned(channel: StandChannel): StandMessage[] {
  return channel.messages
    .filter((m) => m.pinnedAtMs !== undefined)
    .sort((a, b) => (b.pinnedAtMs ?? 0) - (a.pinnedAtMs ?? 0));
}

const listQuery = z.strictObject({
  limit: z.coerce.number().int().min(1).max(50).default(50),
  before: z.iso.datetime({ offset: true }).optional(),
});

const list: Handler = (core, { params, query }) => {
  const channel = core.world.channel(params.channel ?? '');
  mayRead(core.world, channel);
  const { limit, before } = parse(listQuery, Object.fromEntries(query));
  const until = before === undefined ? Infinity : Date.parse(before);
  const found = pinned(channel).filter((m) => (m.pinnedAtMs ?? 0) < until);
  return ok({
    items: found.slice(0, limit).map((m) => ({
      pinned_at: isoOf(m.pinnedAtMs ?? 0),
      message: seenByBot(core, channel, m),
    })),
    has_more: found.length > limit,
  });
};

const oldList: Handler = (core, { params }) => {
  const channel = core.world.channel(params.channel ?? '');
  mayRead(core.world, channel);
  return ok(
    pinned(channel)
      .slice(0, 50)
      .map((m) => seenByBot(core, channel, m)),
  );
};

const pin: Handler = (core, { params }) => {
  const channel = core.world.channel(params.channel ?? '');
  const message = core.world.message(channel, params.message ?? '');
  mayPin(core.world, channel);
  if (message.pinnedAtMs !== undefined) return NO_CONTENT;
  if (pinned(channel).length >= MESSAGE.pinsMax) throw refusal(30003);
  message.pinnedAtMs = core.clock.wallMs();
  core.journal.add({ kind: 'pin', id: message.id, channelId: channel.id });
  return NO_CONTENT;
};

const unpin: Handler = (core, { params }) => {
  const channel = core.world.channel(params.channel ?? '');
  const message = core.world.message(channel, params.message ?? '');
  mayPin(core.world, channel);
  if (message.pinnedAtMs !== undefined) {
    delete message.pinnedAtMs;
    core.journal.add({ kind: 'unpin', id: message.id, channelId: channel.id });
  }
  return NO_CONTENT;
};

export const pinRoutes: readonly Route[] = [
  { route: 'GET /channels/:channel/messages/pins', handle: list, query: ['limit', 'before'] },
  { route: 'PUT /channels/:channel/messages/pins/:message', handle: pin },
  { route: 'DELETE /channels/:channel/messages/pins/:message', handle: unpin },
  { route: 'GET /channels/:channel/pins', handle: oldList },
  { route: 'PUT /channels/:channel/pins/:message', handle: pin },
  { route: 'DELETE /channels/:channel/pins/:message', handle: unpin },
];
