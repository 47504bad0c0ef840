import {
  type APIApplicationCommandBasicOption,
  type APIApplicationCommandOption,
  ApplicationCommandOptionType,
  ApplicationCommandType,
  ApplicationIntegrationType,
  type RESTPostAPIChatInputApplicationCommandsJSONBody as CommandJson,
  InteractionContextType,
} from 'discord.js';
import type { Command, OptionDef, Options, Sub } from '../../app/command.ts';

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

function commandJson(command: Command): CommandJson {
  return {
    type: ApplicationCommandType.ChatInput,
    name: command.name,
    description: command.description,
    // Added to a server by its managers, used there and in a direct message with the bot; not in
    // other people's direct messages, where the bot could not post what it promises.
    integration_types: [ApplicationIntegrationType.GuildInstall],
    contexts: [InteractionContextType.Guild, InteractionContextType.BotDM],
    options:
      command.subs === undefined
        ? optionsJson(command.bare?.options ?? {})
        : subsJson(command.subs),
  };
}

function subsJson(subs: Readonly<Record<string, Sub>>): APIApplicationCommandOption[] {
  return Object.entries(subs).map(([name, sub]) => ({
    type: ApplicationCommandOptionType.Subcommand,
    name,
    description: sub.description,
    options: optionsJson(sub.options),
  }));
}

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
