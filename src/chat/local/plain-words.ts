import type { Command } from '../../app/command.ts';
import { nearest } from '../../say/near.ts';

/** What a newcomer's line means: to leave, or a line as it should have been typed. */
export type Meant = { leave: true } | { line: string };

const LEAVE = words('exit quit bye goodbye q :q :q! logout');
const GREETING = words(
  '? hello hi hey hallo hei moin help h start begin menu info usage man commands',
);

/**
 * What a line means that is no command and no button as these are written: a greeting, a question, a
 * command without its slash, a button's label without its brackets. Undefined when it has to be read as it stands.
 *
 * @param labels what the speaker could press now
 */
export function meaning(
  typed: string,
  commands: readonly Command[],
  labels: readonly string[],
): Meant | undefined {
  const text = typed.trim();
  if (text.startsWith('[')) return undefined;
  const [first = '', ...rest] = bare(text).split(/\s+/u);
  const isCommand = (word: string) => commands.some((c) => c.name === word);
  if (LEAVE.has(first) && rest.length === 0) return { leave: true };
  const slash = text.startsWith('/');
  const isLabel = labels.some((label) => label.toLowerCase() === text.toLowerCase());
  if (isLabel && !slash) return { line: `[${text}]` };
  if (first === '' || GREETING.has(first)) return { line: helpLine(text, rest, isCommand) };
  if (slash) return undefined;
  if (isCommand(first)) return { line: `/${text}` };
  return text.endsWith('?') ? { line: '/help' } : undefined;
}

/** So short a word is everyday speech: "we are fine" asks for no weather. */
const SHORTEST = 3;

/** The command that a line without a slash may have meant. */
export function commandNear(typed: string, commands: readonly Command[]): string | undefined {
  const [first = ''] = bare(typed).split(/\s+/u);
  const names = commands.map((c) => c.name);
  return first.length < SHORTEST ? undefined : nearest(first, names);
}

/** `help topout`, `/help topout` and `? topout` are about it; `/help about:topout` stands as it is. */
function helpLine(
  text: string,
  rest: readonly string[],
  isCommand: (word: string) => boolean,
): string {
  if (/^\/?help\s+[a-z]+:/iu.test(text)) return text.startsWith('/') ? text : `/${text}`;
  const about = rest.map((word) => word.replace(/^\//u, ''));
  const known = about[0] !== undefined && isCommand(about[0]);
  return known ? `/help about:"${about.slice(0, 2).join(' ')}"` : '/help';
}

/** Lower case, without a slash or dashes before and without signs after. */
function bare(text: string): string {
  return text
    .toLowerCase()
    .replace(/^[/-]+/u, '')
    .replace(/[\s.!?…]+$/u, '')
    .trim();
}

function words(text: string): ReadonlySet<string> {
  return new Set(text.split(' '));
}
