import type { RESTPostAPIChatInputApplicationCommandsJSONBody as CommandJson } from 'discord.js';
import {
  CHOICE_TEXT_MAX,
  CHOICES_MAX,
  COMMAND_TEXT_MAX,
  COMMANDS_MAX,
  DESCRIPTION_MAX,
  OPTIONS_MAX,
  STRING_OPTION_MAX,
} from './limits.ts';

/** interactions/application-commands.mdx, Application Command Naming. */
const NAME = /^[-_'\p{L}\p{N}\p{sc=Deva}\p{sc=Thai}]{1,32}$/u;

interface Node {
  name: string;
  description?: string;
  required?: boolean;
  autocomplete?: boolean;
  max_length?: number;
  choices?: readonly { name: string; value: string | number }[];
  options?: readonly Node[];
}

/** What Discord would refuse in these definitions, in words; empty when it would take them all. */
export function definitionProblems(commands: readonly CommandJson[]): string[] {
  const problems: string[] = [];
  if (commands.length > COMMANDS_MAX) problems.push(`more than ${COMMANDS_MAX} commands`);
  for (const command of commands as readonly Node[]) {
    problems.push(...nodeProblems(command, `/${command.name}`));
    const size = textSize(command);
    if (size > COMMAND_TEXT_MAX) problems.push(`/${command.name}: ${size} characters of text`);
  }
  return problems;
}

function nodeProblems(node: Node, path: string): string[] {
  const problems: string[] = [];
  const say = (what: string) => problems.push(`${path}: ${what}`);
  if (!NAME.test(node.name) || node.name !== node.name.toLowerCase()) say('unfit name');
  const length = node.description?.length ?? 0;
  if (length < 1 || length > DESCRIPTION_MAX) say(`description of ${length} characters`);
  if ((node.max_length ?? 1) > STRING_OPTION_MAX) say('max_length too high');
  const choices = node.choices ?? [];
  if (choices.length > CHOICES_MAX) say(`${choices.length} choices`);
  for (const { name, value } of choices) {
    const longest = Math.max(name.length, typeof value === 'string' ? value.length : 0);
    if (name === '' || longest > CHOICE_TEXT_MAX) say(`choice ${name}`);
  }
  const options = node.options ?? [];
  if (options.length > OPTIONS_MAX) say(`${options.length} options`);
  if (new Set(options.map((o) => o.name)).size !== options.length) say('a name given twice');
  const firstOptional = options.findIndex((o) => o.required !== true);
  if (firstOptional >= 0 && options.slice(firstOptional).some((o) => o.required === true)) {
    say('a needed option behind an optional one');
  }
  return [...problems, ...options.flatMap((o) => nodeProblems(o, `${path} ${o.name}`))];
}

/** Names, descriptions and choice values together, as Discord counts them for one command. */
function textSize(node: Node): number {
  const choices = (node.choices ?? []).reduce(
    (sum, c) => sum + c.name.length + String(c.value).length,
    0,
  );
  const options = (node.options ?? []).reduce((sum, o) => sum + textSize(o), 0);
  return node.name.length + (node.description?.length ?? 0) + choices + options;
}
