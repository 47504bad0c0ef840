import { refusal } from '../errors.ts';
import { channelJson, channelsOf, guildJson, memberJson, userJson } from '../payloads.ts';
import { mayRead } from '../permissions.ts';
import { type Handler, ok, type Route } from './request.ts';

/** Who the bot is, where to connect, and what it can look up. */

/** events/gateway.mdx, Get Gateway Bot. */
const gatewayBot: Handler = (core) => {
  const { remaining, resetAfterMs } = core.settings.sessionStarts ?? NEW_DAY;
  return ok({
    url: core.origin.replace('http', 'ws'),
    shards: core.settings.shards,
    session_start_limit: {
      total: 1000,
      remaining,
      reset_after: resetAfterMs,
      max_concurrency: core.settings.shards,
    },
  });
};
const NEW_DAY = { remaining: 1000, resetAfterMs: 0 };

/** resources/application.mdx, Get Current Application. */
const application: Handler = (core) =>
  ok({
    id: core.world.bot.id,
    name: core.world.bot.name,
    icon: null,
    description: '',
    bot_public: true,
    bot_require_code_grant: false,
    bot: userJson(core.world.bot),
    verify_key: '0'.repeat(64),
    team: null,
    flags: 0,
    owner: userJson(core.world.bot),
    interactions_endpoint_url: null,
  });

const me: Handler = (core) =>
  ok({ ...userJson(core.world.bot), verified: true, mfa_enabled: true });

const user: Handler = (core, { params }) => ok(userJson(core.world.user(params.user ?? '')));

const guild: Handler = (core, { params }) => {
  const found = core.world.guilds.get(params.guild ?? '');
  if (found === undefined) throw refusal(10004);
  if (found.kicked) throw refusal(50001);
  return ok(guildJson(core.world, found));
};

const guildChannels: Handler = (core, { params }) => {
  const found = core.world.guilds.get(params.guild ?? '');
  if (found === undefined) throw refusal(10004);
  if (found.kicked) throw refusal(50001);
  return ok(channelsOf(core.world, found).map((c) => channelJson(core.world, c)));
};

const guildMember: Handler = (core, { params }) => {
  const found = core.world.guilds.get(params.guild ?? '');
  if (found === undefined) throw refusal(10004);
  if (found.kicked) throw refusal(50001);
  const member = core.world.user(params.user ?? '');
  if (!found.members.has(member.id)) throw refusal(10007);
  return ok(memberJson(member));
};

const channel: Handler = (core, { params }) => {
  const found = core.world.channel(params.channel ?? '');
  mayRead(core.world, found);
  return ok(channelJson(core.world, found));
};

export const aboutRoutes: readonly Route[] = [
  { route: 'GET /gateway/bot', handle: gatewayBot },
  { route: 'GET /users/@me', handle: me },
  { route: 'GET /users/:user', handle: user },
  { route: 'GET /applications/@me', handle: application },
  { route: 'GET /oauth2/applications/@me', handle: application },
  { route: 'GET /guilds/:guild', handle: guild, query: ['with_counts'] },
  { route: 'GET /guilds/:guild/channels', handle: guildChannels },
  { route: 'GET /guilds/:guild/members/:user', handle: guildMember },
  { route: 'GET /channels/:channel', handle: channel },
];
