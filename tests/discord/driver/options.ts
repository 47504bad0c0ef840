import {
  type APIApplicationCommandBasicOption,
  ApplicationCommandOptionType as Type,
} from 'discord.js';
import { storeFile } from '../compose.ts';
import type { Core } from '../core.ts';
import { COMMAND } from '../limits.ts';
import type { Resolved, StandChannel, StandUser } from '../model.ts';
import { memberJson, userJson } from '../payloads.ts';
import { cannot } from './client-refusal.ts';

/** A file to attach: its address can be fetched like one from Discord. */
export interface GivenFile {
  name: string;
  bytes: Uint8Array;
  /** Media type; `text/plain` unless set. */
  type?: string;
}

export type GivenValue = string | number | boolean | StandUser | GivenFile;
export type GivenOptions = Readonly<Record<string, GivenValue | undefined>>;

export interface OptionData {
  name: string;
  type: number;
  value: string | number | boolean;
  focused?: true;
}

export interface Filled {
  options: OptionData[];
  resolved: Resolved;
}

/** What the person filled in, as it is sent; refuses what the app would not let through. */
export function fillIn(
  core: Core,
  channel: StandChannel,
  definitions: readonly APIApplicationCommandBasicOption[],
  given: GivenOptions,
): Filled {
  const names = definitions.map((d) => d.name);
  const filled: Filled = { options: [], resolved: {} };
  for (const [name, value] of Object.entries(given)) {
    if (value === undefined) continue;
    const definition = definitions.find((d) => d.name === name);
    if (definition === undefined) {
      return cannot(`no option ${name}; there are: ${names.join(', ') || 'none'}`);
    }
    const sent = sentValue(core, channel, definition, value, filled.resolved);
    filled.options.push({ name, type: definition.type, value: sent });
  }
  return filled;
}

export function checkRequired(
  definitions: readonly APIApplicationCommandBasicOption[],
  given: GivenOptions,
): void {
  const missing = definitions.filter((d) => d.required === true && given[d.name] === undefined);
  if (missing.length > 0) cannot(`needed: ${missing.map((d) => d.name).join(', ')}`);
}

function sentValue(
  core: Core,
  channel: StandChannel,
  definition: APIApplicationCommandBasicOption,
  value: GivenValue,
  resolved: Resolved,
): string | number | boolean {
  switch (definition.type) {
    case Type.String:
      return stringValue(definition, value);
    case Type.Integer:
    case Type.Number:
      return numberValue(definition, value);
    case Type.Boolean:
      return typeof value === 'boolean' ? value : cannot(`${definition.name} is true or false`);
    case Type.User:
      return userValue(core, channel, definition.name, value, resolved);
    case Type.Attachment:
      return fileValue(core, channel, definition.name, value, resolved);
    default:
      throw new Error(`the stand-in fills in no option of type ${definition.type}`);
  }
}

type Of<T extends Type> = Extract<APIApplicationCommandBasicOption, { type: T }>;

function stringValue(definition: Of<Type.String>, value: GivenValue): string {
  const { name } = definition;
  if (typeof value !== 'string') return cannot(`${name} is text`);
  // An option left empty is an option left out: the app sends none.
  if (value === '') return cannot(`${name} is empty`);
  checkChoice(definition, value);
  const { min_length: min = 0, max_length: max = COMMAND.stringLengthMax } = definition;
  if (value.length < min) cannot(`${name} has at least ${min} characters`);
  if (value.length > max) cannot(`${name} has at most ${max} characters`);
  return value;
}

function numberValue(definition: Of<Type.Integer | Type.Number>, value: GivenValue): number {
  const { name } = definition;
  if (typeof value !== 'number' || !Number.isFinite(value)) return cannot(`${name} is a number`);
  if (definition.type === Type.Integer && !Number.isInteger(value)) cannot(`${name} is whole`);
  checkChoice(definition, value);
  const { min_value: min = -COMMAND.integerMax, max_value: max = COMMAND.integerMax } = definition;
  if (value < min) cannot(`${name} is at least ${min}`);
  if (value > max) cannot(`${name} is at most ${max}`);
  return value;
}

function checkChoice(
  definition: Of<Type.String | Type.Integer | Type.Number>,
  value: string | number,
): void {
  const choices: readonly { value: string | number }[] | undefined =
    'choices' in definition ? definition.choices : undefined;
  if (choices !== undefined && !choices.some((c) => c.value === value)) {
    cannot(`${definition.name} is one of ${choices.map((c) => c.value).join(', ')}`);
  }
}

export function userValue(
  core: Core,
  channel: StandChannel,
  name: string,
  value: GivenValue,
  resolved: Resolved,
): string {
  if (typeof value !== 'object' || !('username' in value)) return cannot(`${name} is a person`);
  resolved.users = { ...resolved.users, [value.id]: userJson(value) };
  const permissions = core.world.guildOf(channel)?.members.get(value.id);
  if (permissions !== undefined) {
    const { user: _user, deaf: _deaf, mute: _mute, ...member } = memberJson(value);
    const shown = { ...member, permissions: permissions.toString() };
    const members = { ...resolved.members, [value.id]: shown };
    resolved.members = members as NonNullable<Resolved['members']>;
  }
  return value.id;
}

export function fileValue(
  core: Core,
  channel: StandChannel,
  name: string,
  value: GivenValue,
  resolved: Resolved,
): string {
  if (typeof value !== 'object' || !('bytes' in value)) return cannot(`${name} is a file`);
  if (value.bytes.length > core.settings.fileBytesMax) return cannot(`${value.name} is too large`);
  const place = `${core.origin}/cdn/ephemeral-attachments/${channel.id}`;
  const { type = 'text/plain' } = value;
  const { attachment } = storeFile(core, place, value.name, type, value.bytes);
  resolved.attachments = {
    ...resolved.attachments,
    [attachment.id]: { ...attachment, ephemeral: true },
  };
  return attachment.id;
}
