import { ChannelType, Locale, ApplicationCommandOptionType as Type } from 'discord.js';
import { z } from 'zod';
import { COMMAND, COMMAND_NAME } from '../limits.ts';
import { complain, text } from './primitives.ts';

/** interactions/application-commands.mdx, Application Command Option Structure. */

const lowerName = z
  .string()
  .regex(COMMAND_NAME)
  .refine((name) => name === name.toLowerCase(), { error: 'Command names must be lower case.' });

export const description = text(COMMAND.descriptionMax, 1);

export const localised = (of: z.ZodType<string>) => z.partialRecord(z.enum(Locale), of).nullish();

const common = {
  name: lowerName,
  name_localizations: localised(lowerName),
  description,
  description_localizations: localised(description),
};

const valued = { ...common, required: z.boolean().optional() };

const choices = <V extends z.ZodType>(value: V) =>
  z
    .array(
      z.strictObject({
        name: text(COMMAND.choiceNameMax, 1),
        name_localizations: localised(text(COMMAND.choiceNameMax, 1)),
        value,
      }),
    )
    .max(COMMAND.choicesMax)
    .superRefine((list, context) => {
      for (const key of ['name', 'value'] as const) {
        const values = list.map((c) => (c as { name: string; value: unknown })[key]);
        if (new Set(values).size !== list.length) {
          complain(
            context,
            [],
            'APPLICATION_COMMAND_OPTIONS_CHOICES_DUPLICATE',
            `Same ${key} twice.`,
          );
        }
      }
    })
    .optional();

interface Offering {
  autocomplete?: boolean | undefined;
  choices?: readonly unknown[] | undefined;
}

const notBoth = (option: Offering) =>
  !(option.autocomplete === true && option.choices !== undefined);
const NOT_BOTH = { error: 'autocomplete may not be set to true if choices are present.' };

const stringOption = z
  .strictObject({
    ...valued,
    type: z.literal(Type.String),
    choices: choices(text(COMMAND.choiceValueMax)),
    min_length: z.int().min(0).max(COMMAND.stringLengthMax).optional(),
    max_length: z.int().min(1).max(COMMAND.stringLengthMax).optional(),
    autocomplete: z.boolean().optional(),
  })
  .refine(notBoth, NOT_BOTH)
  .refine((o) => (o.min_length ?? 0) <= (o.max_length ?? COMMAND.stringLengthMax));

const within = (number: z.ZodNumber) => number.min(-COMMAND.integerMax).max(COMMAND.integerMax);

const numberOption = (type: Type.Integer | Type.Number, number: z.ZodNumber) =>
  z
    .strictObject({
      ...valued,
      type: z.literal(type),
      choices: choices(within(number)),
      min_value: within(number).optional(),
      max_value: within(number).optional(),
      autocomplete: z.boolean().optional(),
    })
    .refine(notBoth, NOT_BOTH)
    .refine((o) => (o.min_value ?? -Infinity) <= (o.max_value ?? Infinity));

// zod's int() stops at 2^53 − 1; Discord's page says 2^53, which no double tells from its neighbour.
const wholeNumber = z.number().multipleOf(1);

const plain = <T extends Type>(type: T) => z.strictObject({ ...valued, type: z.literal(type) });

const basicOption = z.union([
  stringOption,
  numberOption(Type.Integer, wholeNumber),
  numberOption(Type.Number, z.number()),
  plain(Type.Boolean),
  plain(Type.User),
  plain(Type.Role),
  plain(Type.Mentionable),
  plain(Type.Attachment),
  z.strictObject({
    ...valued,
    type: z.literal(Type.Channel),
    channel_types: z.array(z.enum(ChannelType)).optional(),
  }),
]);

interface Named {
  name: string;
  required?: boolean | undefined;
}

const listOf = <T extends z.ZodType<Named>>(option: T) =>
  z
    .array(option)
    .max(COMMAND.optionsMax)
    .superRefine((list: Named[], context) => {
      const names = list.map((o) => o.name);
      names.forEach((name, i) => {
        if (names.indexOf(name) !== i) {
          complain(
            context,
            [i],
            'APPLICATION_COMMAND_OPTIONS_NAME_DUPLICATE',
            'Name already used.',
          );
        }
      });
      const firstOptional = list.findIndex((o) => o.required !== true);
      list.forEach((o, i) => {
        if (o.required === true && firstOptional >= 0 && i > firstOptional) {
          complain(
            context,
            [i],
            'APPLICATION_COMMAND_OPTIONS_REQUIRED_INVALID',
            'Required options must be placed before non-required options',
          );
        }
      });
    })
    .optional();

const subcommand = z.strictObject({
  ...common,
  type: z.literal(Type.Subcommand),
  options: listOf(basicOption),
});

const group = z.strictObject({
  ...common,
  type: z.literal(Type.SubcommandGroup),
  options: listOf(subcommand),
});

/** Either subcommands and groups, or plain options: same page, Subcommands and Subcommand Groups. */
export const commandOptions = z.union([listOf(z.union([subcommand, group])), listOf(basicOption)]);
