import { z } from 'zod';
import { channelJson } from '../payloads.ts';
import { mayReopen } from '../permissions.ts';
import { parse } from './parse.ts';
import { type Handler, ok, type Route } from './request.ts';

/** resources/channel.mdx, Modify Channel: of all of it, taking a thread out of the archive. */
const reopen: Handler = (core, { params, json }) => {
  const channel = core.world.channel(params.channel ?? '');
  parse(z.strictObject({ archived: z.literal(false) }), json);
  mayReopen(core.world, channel);
  if (channel.thread !== undefined) channel.thread.archived = false;
  return ok(channelJson(core.world, channel));
};

export const channelRoutes: readonly Route[] = [
  { route: 'PATCH /channels/:channel', handle: reopen },
];
