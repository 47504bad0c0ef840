import { createHash } from 'node:crypto';
import {
  ApplicationCommandOptionType,
  ApplicationCommandType,
  type REST,
  Routes,
} from 'discord.js';
import type { Logger } from 'pino';
import type { Store } from '../../store/port.ts';
import type { AnyCommandJson } from './definitions.ts';

export interface Registration {
  rest: REST;
  store: Pick<Store, 'getFact' | 'setFact'>;
  log: Logger;
  application: string;
  /** One server, for trying; else everywhere. */
  guild?: string | undefined;
  commands: readonly AnyCommandJson[];
}

export interface Registered {
  outcome: 'unchanged' | 'registered';
  /** Discord's ids by path: `pitch done`, `topout`. */
  ids: ReadonlyMap<string, string>;
}

/**
 * Registers the commands when they differ from what Discord has, and not otherwise: creates are
 * limited to 200 a day. What Discord hands back may differ in small ways from what was sent, so
 * when our own definitions are the ones sent last and all names are there, that counts as the same.
 */
export async function register(job: Registration): Promise<Registered> {
  const route =
    job.guild === undefined
      ? Routes.applicationCommands(job.application)
      : Routes.applicationGuildCommands(job.application, job.guild);
  const fact = `discord.commands.${job.application}.${job.guild ?? 'global'}`;
  const wanted = canonical(job.commands);
  const hash = createHash('sha256').update(wanted).digest('hex');
  // Without it Discord leaves the other languages out (application-commands.mdx, "Get Global Application Commands").
  const query = new URLSearchParams({ with_localizations: 'true' });
  const there = (await job.rest.get(route, { query })) as RegisteredJson[];
  const sentBefore =
    (await job.store.getFact(fact)) === hash && names(there) === names(job.commands);
  if (sentBefore || canonical(there) === wanted) {
    await job.store.setFact(fact, hash);
    return { outcome: 'unchanged', ids: idsOf(there) };
  }
  const now = (await job.rest.put(route, { body: job.commands })) as RegisteredJson[];
  await job.store.setFact(fact, hash);
  job.log.info({ commands: job.commands.length, guild: job.guild }, 'commands registered');
  return { outcome: 'registered', ids: idsOf(now) };
}

type RegisteredJson = AnyCommandJson & { id?: string };

/** A command that has subcommands can't be run by itself. */
function idsOf(commands: readonly RegisteredJson[]): ReadonlyMap<string, string> {
  const ids = commands.flatMap((command) => {
    const { id, name } = command;
    if (id === undefined || command.type === ApplicationCommandType.Message) return [];
    const { options = [] } = command as { options?: { type: number; name: string }[] };
    const subs = options.filter((o) => o.type === ApplicationCommandOptionType.Subcommand);
    const paths = subs.length === 0 ? [name] : subs.map((sub) => `${name} ${sub.name}`);
    return paths.map((path) => [path, id] as const);
  });
  return new Map(ids);
}

function names(commands: readonly AnyCommandJson[]): string {
  return commands
    .map((c) => c.name)
    .sort()
    .join(' ');
}

const KEPT = [
  'name',
  'description',
  'description_localizations',
  'type',
  'required',
  'autocomplete',
  'min_length',
  'max_length',
  'min_value',
  'max_value',
  'choices',
  'value',
  'contexts',
  'integration_types',
  'options',
] as const;

/** What we decide about the commands, in one order, without what Discord adds or leaves to default. */
export function canonical(commands: readonly AnyCommandJson[]): string {
  return JSON.stringify([...commands].sort((a, b) => (a.name < b.name ? -1 : 1)).map(reduced));
}

const LOCALIZED = 'description_localizations' satisfies (typeof KEPT)[number];

/** Descriptions by language, in one order. */
function listed(byLanguage: unknown): unknown {
  return Object.entries(byLanguage ?? {})
    .sort(([a], [b]) => (a < b ? -1 : 1))
    .map(([language, text]) => `${language} ${text}`);
}

function reduced(node: unknown): unknown {
  if (Array.isArray(node)) {
    return node.every((n) => typeof n === 'number') ? [...node].sort() : node.map(reduced);
  }
  if (typeof node !== 'object' || node === null) return node;
  const fields = node as Record<string, unknown>;
  return Object.fromEntries(
    KEPT.map((key) => [key, reduced(key === LOCALIZED ? listed(fields[key]) : fields[key])]).filter(
      ([, value]) => !isDefault(value),
    ),
  );
}

function isDefault(value: unknown): boolean {
  return (
    value === undefined ||
    value === null ||
    value === false ||
    (Array.isArray(value) && value.length === 0)
  );
}
