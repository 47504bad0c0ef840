import {
  type APIApplicationCommandBasicOption,
  type APIApplicationCommandOption,
  ApplicationCommandOptionType,
  ApplicationCommandType,
  ApplicationIntegrationType,
  type RESTPostAPIChatInputApplicationCommandsJSONBody as CommandJson,
  InteractionContextType,
  type RESTPostAPIContextMenuApplicationCommandsJSONBody as MenuJson,
} from 'discord.js';
import type { Command, OptionDef, Options, Sub } from '../../app/command.ts';
import { CODES } from '../../say/contact/languages.ts';
import { CATALOGUE, type Key } from '../../say/contact/words.ts';
import { MESSAGE_COMMAND } from './relayed-form.ts';

const TYPES = {
  string: ApplicationCommandOptionType.String,
  integer: ApplicationCommandOptionType.Integer,
  number: ApplicationCommandOptionType.Number,
  boolean: ApplicationCommandOptionType.Boolean,
  user: ApplicationCommandOptionType.User,
  file: ApplicationCommandOptionType.Attachment,
} as const;

/** Our commands as Discord wants them registered. Hidden options are left out. */
export function commandsJson(commands: readonly Command[]): CommandJson[] {
  return commands.map(commandJson);
}

/** All that is registered: our commands, and the one in the menu of a message. */
export function registeredJson(commands: readonly Command[]): AnyCommandJson[] {
  return [...commandsJson(commands), messageCommand()];
}

export type AnyCommandJson = CommandJson | MenuJson;

/**
 * Added to a server by its managers, used there and in a direct message with the bot; not in other people's direct
 * messages, where the bot could not post what it promises. So nothing can be installed by a user alone.
 *
 * No permission is asked for by default: who may do what hangs on the trip's roster, and a climber in
 * a channel where they may only read still has to be able to say that somebody is hurt. A server's managers
 * can narrow it in their settings.
 */
const PLACES = {
  integration_types: [ApplicationIntegrationType.GuildInstall],
  contexts: [InteractionContextType.Guild, InteractionContextType.BotDM],
  default_member_permissions: null,
};

function messageCommand(): MenuJson {
  return { type: ApplicationCommandType.Message, name: MESSAGE_COMMAND, ...PLACES };
}

function commandJson(command: Command): CommandJson {
  return {
    type: ApplicationCommandType.ChatInput,
    name: command.name,
    description: command.description,
    ...PLACES,
    options:
      command.subs === undefined
        ? optionsJson(command.bare?.options ?? {})
        : subsJson(command.name, command.subs),
  };
}

function subsJson(
  command: string,
  subs: Readonly<Record<string, Sub>>,
): APIApplicationCommandOption[] {
  return Object.entries(subs).map(([name, sub]) => ({
    type: ApplicationCommandOptionType.Subcommand,
    name,
    description: sub.description,
    ...elsewhere(`${command} ${name}`),
    options: optionsJson(sub.options),
  }));
}

/**
 * What a command of contacts does, in the other languages of the catalogue: their codes are among Discord's locales
 * (its reference, reference.mdx, "Locales"). Names stay: they are what others read out and scripts say.
 */
function elsewhere(path: string) {
  const key = `command.${path}`;
  if (!isKey(key)) return {};
  const others = CODES.filter((language) => language !== 'en');
  return {
    description_localizations: Object.fromEntries(
      others.map((language) => [language, CATALOGUE[language][key]]),
    ),
  };
}

const isKey = (key: string): key is Key => key in CATALOGUE.en;

/** Discord refuses a needed option behind an optional one, so the needed ones go first. */
function optionsJson(options: Options): APIApplicationCommandBasicOption[] {
  const shown = Object.entries(options).filter(([, def]) => def.hidden !== true);
  const ordered = [
    ...shown.filter(([, def]) => def.required === true),
    ...shown.filter(([, def]) => def.required !== true),
  ];
  return ordered.map(([name, def]) => optionJson(name, def));
}

function optionJson(name: string, def: OptionDef): APIApplicationCommandBasicOption {
  return {
    type: TYPES[def.type],
    name,
    description: def.description,
    ...(def.required === true ? { required: true } : {}),
    ...limitsJson(def),
  } as APIApplicationCommandBasicOption;
}

function limitsJson(def: OptionDef): object {
  if (def.type === 'string') {
    return {
      ...offered(def),
      ...(def.minLength === undefined ? {} : { min_length: def.minLength }),
      ...(def.maxLength === undefined ? {} : { max_length: def.maxLength }),
    };
  }
  if (def.type === 'integer' || def.type === 'number') {
    return {
      ...offered(def),
      ...(def.min === undefined ? {} : { min_value: def.min }),
      ...(def.max === undefined ? {} : { max_value: def.max }),
    };
  }
  return {};
}

/** Discord takes either choices or completion; choices are the stricter of the two. */
function offered(def: Pick<Extract<OptionDef, { type: 'string' }>, 'choices' | 'suggest'>): object {
  if (def.choices !== undefined) {
    return { choices: def.choices.map(({ name, value }) => ({ name, value })) };
  }
  return def.suggest === undefined ? {} : { autocomplete: true };
}
