import {
  ApplicationCommandType,
  ApplicationIntegrationType,
  InteractionContextType,
} from 'discord.js';
import { z } from 'zod';
import { COMMAND } from '../limits.ts';
import { commandOptions, description, localised } from './command-option.ts';
import { complain, lengthOf, permissionBits, text } from './primitives.ts';

/** interactions/application-commands.mdx, Create Global Application Command. */

const settings = {
  default_member_permissions: permissionBits.nullish(),
  dm_permission: z.boolean().nullish(),
  default_permission: z.boolean().nullish(),
  nsfw: z.boolean().optional(),
  integration_types: z.array(z.enum(ApplicationIntegrationType)).min(1).nullish(),
  contexts: z.array(z.enum(InteractionContextType)).min(1).nullish(),
  /** A bulk overwrite may name the command it replaces: same page, Bulk Overwrite. */
  id: z.string().optional(),
};

const chatInput = z.strictObject({
  ...settings,
  type: z.literal(ApplicationCommandType.ChatInput).optional(),
  name: z
    .string()
    .regex(/^[-_'\p{L}\p{N}\p{sc=Deva}\p{sc=Thai}]{1,32}$/u)
    .refine((name) => name === name.toLowerCase(), { error: 'Command names must be lower case.' }),
  name_localizations: localised(text(32, 1)),
  description,
  description_localizations: localised(description),
  options: commandOptions.nullish(),
});

/** USER and MESSAGE commands: mixed case and spaces allowed, no description, no options. */
const contextMenu = z.strictObject({
  ...settings,
  type: z.literal([ApplicationCommandType.User, ApplicationCommandType.Message]),
  name: text(32, 1),
  name_localizations: localised(text(32, 1)),
  description: z.literal('').optional(),
  description_localizations: localised(z.literal('')),
});

export const commandBody = z.union([chatInput, contextMenu]).superRefine((command, context) => {
  const size = textSize(command);
  if (size > COMMAND.textMax) {
    complain(
      context,
      [],
      'APPLICATION_COMMAND_TOO_LARGE',
      `Command exceeds maximum size (${size} of ${COMMAND.textMax}).`,
    );
  }
});

export type CommandBody = z.infer<typeof commandBody>;

const MAX_BY_TYPE: Readonly<Record<number, number>> = {
  [ApplicationCommandType.ChatInput]: COMMAND.chatInputMax,
  [ApplicationCommandType.User]: COMMAND.userMax,
  [ApplicationCommandType.Message]: COMMAND.messageMax,
};

/** Same page, Bulk Overwrite Global Application Commands. */
export const commandList = z.array(commandBody).superRefine((list, context) => {
  const keys = list.map((c) => `${c.type ?? 1} ${c.name}`);
  keys.forEach((key, i) => {
    if (keys.indexOf(key) !== i) {
      complain(
        context,
        [i],
        'APPLICATION_COMMANDS_DUPLICATE_NAME',
        'Application command names must be unique',
      );
    }
  });
  for (const [type, max] of Object.entries(MAX_BY_TYPE)) {
    const count = list.filter((c) => (c.type ?? 1) === Number(type)).length;
    if (count > max) complain(context, [], 'BASE_TYPE_MAX_LENGTH', `Must be ${max} or fewer.`);
  }
});

interface Sized {
  name?: string;
  name_localizations?: object | null | undefined;
  description?: string | undefined;
  description_localizations?: object | null | undefined;
  value?: unknown;
  options?: readonly object[] | null | undefined;
  choices?: readonly object[] | null | undefined;
}

/** Names, descriptions and values together; of localised texts the longest counts: same page. */
function textSize(node: Sized): number {
  const longest = (own: string | undefined, others: object | null | undefined) =>
    Math.max(0, ...[own ?? '', ...Object.values(others ?? {})].map((t) => lengthOf(String(t))));
  const own =
    longest(node.name, node.name_localizations) +
    longest(node.description, node.description_localizations) +
    (typeof node.value === 'string' ? lengthOf(node.value) : 0);
  return [...(node.options ?? []), ...(node.choices ?? [])].reduce<number>(
    (sum, inner) => sum + textSize(inner as Sized),
    own,
  );
}
