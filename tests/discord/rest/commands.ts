import { ApplicationCommandType } from 'discord.js';
import { z } from 'zod';
import type { Core } from '../core.ts';
import { formError, refusal } from '../errors.ts';
import { COMMAND } from '../limits.ts';
import type { Command } from '../model.ts';
import { type CommandBody, commandBody, commandList } from '../schemas/command.ts';
import { parse } from './parse.ts';
import { type ApiRequest, type Handler, NO_CONTENT, ok, type Route } from './request.ts';

/** interactions/application-commands.mdx, Endpoints; the guild's are the same as the global ones. */

const DAY_MS = 86_400_000;
const createdAtMs = new WeakMap<Core, Map<string, number[]>>();

/** 'global' or the guild's id. */
function scopeOf(core: Core, { params }: ApiRequest): string {
  if (params.application !== core.world.bot.id) throw refusal(10002);
  if (params.guild === undefined) return 'global';
  const guild = core.world.guilds.get(params.guild);
  if (guild === undefined || guild.kicked) throw refusal(50001);
  return guild.id;
}

const list: Handler = (core, request) => {
  const full = request.query.get('with_localizations') === 'true';
  return ok(core.world.commandsIn(scopeOf(core, request)).map((c) => (full ? c : brief(c))));
};

const get: Handler = (core, request) => ok(find(core, request));

/** What isn't in the list is deleted; a command of the same name and type keeps its id. */
const overwrite: Handler = (core, request) => {
  const scope = scopeOf(core, request);
  const bodies = parse(commandList, request.json);
  const before = core.world.commandsIn(scope);
  const fresh = bodies.filter((b) => same(before, b) === undefined).length;
  countCreates(core, scope, fresh);
  const commands = bodies.map((body) => made(core, scope, body, same(before, body)));
  core.world.commands.set(scope, commands);
  const names = commands.map((c) => c.name);
  core.journal.add({ kind: 'commands', scope, how: 'overwrite', names });
  return ok(commands);
};

/** Creating a command with the name of an existing one overwrites it. */
const create: Handler = (core, request) => {
  const scope = scopeOf(core, request);
  const body = parse(commandBody, request.json);
  const before = core.world.commandsIn(scope);
  const old = same(before, body);
  if (old === undefined) {
    countCreates(core, scope, 1);
    if (parseable(commandList, [...before.map(bodyOf), body]) === false) throw refusal(30032);
  }
  const command = made(core, scope, body, old);
  core.world.commands.set(scope, [...before.filter((c) => c !== old), command]);
  core.journal.add({ kind: 'commands', scope, how: 'create', names: [command.name] });
  return { status: old === undefined ? 201 : 200, body: command };
};

const edit: Handler = (core, request) => {
  const scope = scopeOf(core, request);
  const old = find(core, request);
  const changes = parse(z.record(z.string(), z.unknown()), request.json);
  const body = parse(commandBody, { ...bodyOf(old), ...changes });
  const others = core.world.commandsIn(scope).filter((c) => c !== old);
  if (same(others, body) !== undefined) {
    throw formError('name', 'APPLICATION_COMMANDS_DUPLICATE_NAME', 'Name already used.');
  }
  const command = made(core, scope, body, old);
  core.world.commands.set(scope, [...others, command]);
  core.journal.add({ kind: 'commands', scope, how: 'edit', names: [command.name] });
  return ok(command);
};

const remove: Handler = (core, request) => {
  const scope = scopeOf(core, request);
  const old = find(core, request);
  core.world.commands.set(
    scope,
    core.world.commandsIn(scope).filter((c) => c !== old),
  );
  core.journal.add({ kind: 'commands', scope, how: 'delete', names: [old.name] });
  return NO_CONTENT;
};

function find(core: Core, request: ApiRequest): Command {
  const commands = core.world.commandsIn(scopeOf(core, request));
  const found = commands.find((c) => c.id === request.params.command);
  if (found === undefined) throw refusal(10063);
  return found;
}

function same(commands: readonly Command[], body: CommandBody): Command | undefined {
  const type = body.type ?? ApplicationCommandType.ChatInput;
  return commands.find((c) => c.name === body.name && c.type === type);
}

/** 200 creates a day for each guild, and as many globally; error 30034. */
function countCreates(core: Core, scope: string, count: number): void {
  const byScope = createdAtMs.get(core) ?? new Map<string, number[]>();
  createdAtMs.set(core, byScope);
  const nowMs = core.clock.wallMs();
  const today = (byScope.get(scope) ?? []).filter((ms) => ms > nowMs - DAY_MS);
  if (today.length + count > COMMAND.createsPerDay) throw refusal(30034);
  byScope.set(scope, [...today, ...Array.from({ length: count }, () => nowMs)]);
}

function made(core: Core, scope: string, body: CommandBody, old: Command | undefined): Command {
  const { id: _given, ...given } = body;
  return {
    dm_permission: true,
    contexts: null,
    integration_types: [0],
    default_member_permissions: null,
    nsfw: false,
    description: '',
    ...given,
    type: given.type ?? ApplicationCommandType.ChatInput,
    id: old?.id ?? core.world.nextId(),
    application_id: core.world.bot.id,
    version: core.world.nextId(),
    ...(scope === 'global' ? {} : { guild_id: scope }),
  } as Command;
}

/** The settable part of a command, as it would be sent again. */
function bodyOf(command: Command): object {
  const { id: _id, application_id: _app, version: _version, guild_id: _guild, ...body } = command;
  return body;
}

function brief(command: Command): Command {
  const { name_localizations: _names, description_localizations: _texts, ...rest } = command;
  return rest as Command;
}

function parseable(schema: z.ZodType, value: unknown): boolean {
  return schema.safeParse(value).success;
}

const ALL = '/applications/:application/commands';
const IN_GUILD = '/applications/:application/guilds/:guild/commands';

export const commandRoutes: readonly Route[] = [ALL, IN_GUILD].flatMap((base) => [
  { route: `GET ${base}`, handle: list, query: ['with_localizations'] },
  { route: `PUT ${base}`, handle: overwrite },
  { route: `POST ${base}`, handle: create },
  { route: `GET ${base}/:command`, handle: get },
  { route: `PATCH ${base}/:command`, handle: edit },
  { route: `DELETE ${base}/:command`, handle: remove },
]);
