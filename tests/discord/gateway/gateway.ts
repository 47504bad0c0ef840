import type { Server } from 'node:http';
import {
  GatewayCloseCodes as Close,
  GatewayIntentBits as Intent,
  GatewayOpcodes as Op,
} from 'discord.js';
import { WebSocketServer } from 'ws';
import type { StandClock } from '../clock.ts';
import type { Settings } from '../core.ts';
import type { GatewayEvent, Journal } from '../journal.ts';
import type { StandGuild, StandMessage } from '../model.ts';
import { channelJson, guildJson, memberJson, messageJson, userJson } from '../payloads.ts';
import type { World } from '../world.ts';
import { identifyBody, identifyRefusal, membersBody, resumeBody } from './checks.ts';
import { Connection, type Ears } from './connection.ts';
import { Session } from './session.ts';

/** Gateway v10 (events/gateway.mdx): sessions, resumes, and ways to disturb them. */
export class Gateway implements Ears {
  /** False: heartbeats get no acknowledgement, so that the bot must see the connection is dead. */
  acknowledging = true;
  /** True: connected and acknowledged, but no event gets through (discord-api-docs issue 8162). */
  deaf = false;
  /** True: what is asked for through the gateway doesn't come. */
  ignoringRequests = false;
  /** True: every connection is cut as soon as it is made. */
  refusingConnections = false;
  /** How many of the next resumes are answered with Invalid Session. */
  refusingResumes = 0;
  origin = '';
  /** Where to resume, told in Ready; our own when left out. */
  resumeUrl: string | undefined;
  readonly sessions = new Map<string, Session>();
  readonly #connections = new Set<Connection>();
  readonly #world: World;
  readonly #journal: Journal;
  readonly #clock: StandClock;
  readonly #settings: Settings;

  constructor(world: World, journal: Journal, clock: StandClock, settings: Settings) {
    this.#world = world;
    this.#journal = journal;
    this.#clock = clock;
    this.#settings = settings;
  }

  attach(server: Server): void {
    new WebSocketServer({ server }).on('connection', (socket, request) => {
      const { pathname, searchParams } = new URL(request.url ?? '/', 'ws://stand');
      const connection = new Connection(socket, this.#clock, this);
      this.#connections.add(connection);
      if (this.refusingConnections) return connection.cut();
      this.#note('connect', pathname);
      if (searchParams.get('v') !== '10') return connection.close(Close.InvalidAPIVersion);
      if (searchParams.get('encoding') !== 'json') return connection.close(Close.DecodeError);
      connection.send(Op.Hello, { heartbeat_interval: this.#settings.heartbeatIntervalMs });
    });
  }

  identify(connection: Connection, d: unknown) {
    const body = identifyBody.safeParse(d);
    if (!body.success) return this.#refuse(connection, Close.DecodeError);
    const refusal = identifyRefusal(body.data, this.#settings);
    this.#note('identify', body.data.intents);
    if (refusal !== undefined) return this.#refuse(connection, refusal);
    const { shard = [0, 1], intents } = body.data;
    const id = this.#world.nextId();
    const session = new Session(id, shard, intents, connection.socket);
    connection.session = session;
    this.#forgetAway(session);
    this.sessions.set(id, session);
    const guilds = [...this.#world.guilds.values()].filter(
      (g) => !g.kicked && session.covers(g.id),
    );
    session.dispatch('READY', this.#ready(session, guilds));
    if (session.wants(Intent.Guilds)) {
      for (const guild of guilds) session.dispatch('GUILD_CREATE', guildJson(this.#world, guild));
    }
    this.#note('ready', shard[0]);
  }

  resume(connection: Connection, d: unknown) {
    const body = resumeBody.safeParse(d);
    if (!body.success) return this.#refuse(connection, Close.DecodeError);
    const { token, session_id: id, seq } = body.data;
    this.#note('resume', seq);
    if (token !== this.#settings.token) return this.#refuse(connection, Close.AuthenticationFailed);
    const session = this.sessions.get(id);
    if (session !== undefined && seq > session.seq)
      return this.#refuse(connection, Close.InvalidSeq);
    if (this.refusingResumes > 0 || session === undefined || !session.canReplayFrom(seq)) {
      this.refusingResumes = Math.max(0, this.refusingResumes - 1);
      this.sessions.delete(id);
      this.#note('invalid-session');
      return connection.send(Op.InvalidSession, false);
    }
    connection.session = session;
    session.socket = connection.socket;
    const replayed = session.replayFrom(seq);
    session.dispatch('RESUMED', { _trace: [] });
    this.#note('resumed', replayed);
  }

  heartbeat(connection: Connection, seq: unknown): void {
    this.#note('heartbeat', typeof seq === 'number' ? seq : 'none');
    if (this.acknowledging) connection.send(Op.HeartbeatAck, null);
  }

  /** events/gateway-events.mdx, Request Guild Members: of those named, which needs no intent. */
  members(connection: Connection, d: unknown): void {
    const body = membersBody.safeParse(d);
    const guild = this.#world.guilds.get(body.data?.guild_id ?? '');
    const { session } = connection;
    if (!body.success || session === undefined) {
      this.#refuse(connection, Close.DecodeError);
      return;
    }
    this.#note('members', body.data.guild_id);
    if (this.ignoringRequests || guild === undefined || !session.covers(guild.id)) return;
    const ids = [body.data.user_ids].flat().filter((id) => guild.members.has(id));
    const members = ids.map((id) => memberJson(this.#world.user(id)));
    const chunk = { guild_id: guild.id, members, chunk_index: 0, chunk_count: 1, not_found: [] };
    session.dispatch('GUILD_MEMBERS_CHUNK', chunk, !this.deaf);
  }

  /** events/gateway.mdx, Disconnecting: 1000 and 1001 from the bot end the session. */
  closed(connection: Connection, code: number): void {
    this.#connections.delete(connection);
    const { session } = connection;
    if (session?.socket === connection.socket) session.socket = undefined;
    if (session !== undefined && (code === 1000 || code === 1001)) this.sessions.delete(session.id);
    this.#note('closed', code);
  }

  /** Sends an event to every session it concerns; returns how many there are, away or not. */
  dispatch(t: string, d: unknown, guildId: string | undefined, intent?: Intent): number {
    const concerned = [...this.sessions.values()].filter(
      (s) => s.covers(guildId) && (intent === undefined || s.wants(intent)),
    );
    for (const session of concerned) session.dispatch(t, d, !this.deaf);
    return concerned.length;
  }

  messageCreated(message: StandMessage): void {
    this.#messageEvent('MESSAGE_CREATE', message);
  }

  messageUpdated(message: StandMessage): void {
    if (message.onlyFor === undefined) this.#messageEvent('MESSAGE_UPDATE', message);
  }

  get mayReadContent(): boolean {
    return (this.#settings.privilegedIntents & Intent.MessageContent) !== 0;
  }

  /** Every socket falls away at once, without a close frame. */
  cut(): void {
    for (const connection of this.#connections) connection.cut();
  }

  /** Any text at all, as a frame on every connection. */
  raw(text: string): void {
    for (const connection of this.#connections) connection.raw(text);
  }

  /** Every connection is closed with this code. */
  refuse(code: Close): void {
    for (const connection of this.#connections) this.#refuse(connection, code);
  }

  /** Reconnect (opcode 7): the bot should come back and resume. */
  askReconnect(): void {
    this.#note('reconnect');
    for (const connection of this.#connections) connection.send(Op.Reconnect, null);
  }

  /** Invalid Session (opcode 9) on a live connection. */
  invalidate(resumable: boolean): void {
    if (!resumable) this.sessions.clear();
    this.#note('invalid-session');
    for (const connection of this.#connections) {
      if (resumable) delete (connection as { session?: Session }).session;
      connection.send(Op.InvalidSession, resumable);
    }
  }

  /** A shard that identifies afresh won't come back for its old session; Discord lets it expire. */
  #forgetAway(fresh: Session): void {
    for (const old of this.sessions.values()) {
      const same = old.shard[0] === fresh.shard[0] && old.shard[1] === fresh.shard[1];
      if (same && old.socket === undefined) this.sessions.delete(old.id);
    }
  }

  #messageEvent(t: string, message: StandMessage): void {
    const guildId = this.#world.channels.get(message.channelId)?.guildId;
    const intent = guildId === undefined ? Intent.DirectMessages : Intent.GuildMessages;
    const json = messageJson(this.#world, message);
    this.dispatch(
      t,
      guildId === undefined ? json : { ...json, guild_id: guildId },
      guildId,
      intent,
    );
  }

  #ready(session: Session, guilds: readonly StandGuild[]): object {
    return {
      v: 10,
      user: { ...userJson(this.#world.bot), verified: true, mfa_enabled: true },
      guilds: guilds.map(({ id }) => ({ id, unavailable: true })),
      session_id: session.id,
      // Another path than the first, so that a test sees which address was used.
      resume_gateway_url: this.resumeUrl ?? `${this.origin.replace('http', 'ws')}/resume`,
      shard: session.shard,
      application: { id: this.#world.bot.id, flags: 0 },
      private_channels: [],
    };
  }

  #refuse(connection: Connection, code: Close): void {
    this.#note('refused', code);
    connection.close(code);
  }

  #note(what: GatewayEvent, detail?: string | number): void {
    this.#journal.add({ kind: 'gateway', what, ...(detail === undefined ? {} : { detail }) });
  }

  /** For the driver: the bot hears of a new channel. */
  channelAdded(channelId: string): void {
    const channel = this.#world.channels.get(channelId);
    if (channel?.guildId === undefined) return;
    const json = channelJson(this.#world, channel);
    const event = channel.thread === undefined ? 'CHANNEL_CREATE' : 'THREAD_CREATE';
    this.dispatch(event, json, channel.guildId, Intent.Guilds);
  }
}
