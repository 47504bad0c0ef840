import type { Command, OptionDef, Options, RawValue, Sub } from '../../app/command.ts';
import { findSub } from '../../app/command.ts';
import { nearest } from '../../say/near.ts';
import { typedValue } from '../typed-value.ts';
import { localFile } from './local-file.ts';
import { speaker } from './speaker.ts';
import type { Word } from './words.ts';

/** What was typed could not be read; the lines say why and what would do. */
export class Unreadable extends Error {
  readonly lines: readonly string[];
  constructor(first: string, ...more: readonly string[]) {
    super(first);
    this.name = 'Unreadable';
    this.lines = [first, ...more];
  }
}

export interface Parsed {
  path: string;
  raw: Record<string, RawValue>;
}

/**
 * Reads `/pitch done number:5 at:"10m ago"` by the command's own definition. Needed options and
 * limits are left to dispatch, which says the same in every chat.
 *
 * @param folder where `file:` is looked for
 * @throws Unreadable
 */
export async function parseCommand(
  commands: readonly Command[],
  words: readonly Word[],
  folder: string,
): Promise<Parsed> {
  const { path, sub, rest } = resolvePath(commands, words);
  return { path, raw: await readOptions(path, visible(sub.options), rest, folder) };
}

/** Options people may set; the hidden ones are for our own buttons. */
export function visible(options: Options): Options {
  return Object.fromEntries(
    Object.entries(options).filter(([, def]) => def.hidden !== true || def.old === true),
  );
}

function resolvePath(
  commands: readonly Command[],
  words: readonly Word[],
): { path: string; sub: Sub; rest: readonly Word[] } {
  const name = words[0]?.value.replace(/^\//u, '').toLowerCase() ?? '';
  const command = commands.find((c) => c.name === name);
  if (command === undefined) {
    throw new Unreadable(
      `There is no /${name}.${didYouMean(
        name,
        commands.map((c) => c.name),
        '/',
      )}`,
      '/help leads the way.',
    );
  }
  if (command.subs === undefined && command.bare !== undefined) {
    return { path: name, sub: command.bare, rest: words.slice(1) };
  }
  const known = Object.keys(command.subs ?? {});
  const second = words[1]?.name === undefined ? words[1]?.value.toLowerCase() : undefined;
  const sub = second === undefined ? undefined : findSub(commands, `${name} ${second}`);
  if (second === undefined || sub === undefined) {
    const what =
      second === undefined
        ? `/${name} needs a word more.`
        : `/${name} ${second} is not known.${didYouMean(second, known, `/${name} `)}`;
    throw new Unreadable(what, `There is: ${known.map((k) => `/${name} ${k}`).join(', ')}.`);
  }
  return { path: `${name} ${second}`, sub, rest: words.slice(2) };
}

/** @throws Unreadable */
export async function readOptions(
  path: string,
  options: Options,
  words: readonly Word[],
  folder: string,
): Promise<Record<string, RawValue>> {
  const raw: Record<string, RawValue> = {};
  for (const word of words) {
    const { name, value } = word;
    if (name === undefined) {
      throw new Unreadable(
        `"${value}" stands alone. Options are written name:value, with quotes round spaces.`,
        optionList(path, options),
      );
    }
    const def = options[name];
    if (def === undefined) {
      throw new Unreadable(
        `/${path} has no option ${name}.${didYouMean(name, Object.keys(options), '')}`,
        optionList(path, options),
      );
    }
    if (name in raw) throw new Unreadable(`${name} is given twice.`);
    raw[name] = await readValue(name, def, value, folder);
  }
  return raw;
}

async function readValue(
  name: string,
  def: OptionDef,
  value: string,
  folder: string,
): Promise<RawValue> {
  if (def.type === 'user') {
    const person = speaker(value);
    if (person === undefined) throw new Unreadable(`${name}: "${value}" is not a name.`);
    return person;
  }
  if (def.type === 'file') {
    const file = await localFile(folder, value);
    if (file === undefined) throw new Unreadable(`${name}: there is no file ${value} here.`);
    return file;
  }
  const typed = typedValue(def, value);
  if (!typed.ok) throw new Unreadable(`${name}: "${value}" is not ${typed.problem}.`);
  return typed.value;
}

function optionList(path: string, options: Options): string {
  const shown = Object.entries(options).map(
    ([name, def]) => `${name}:${def.required === true ? ' (needed)' : ''}`,
  );
  return shown.length === 0
    ? `/${path} takes no options.`
    : `Options of /${path}: ${shown.join(', ')}.`;
}

function didYouMean(typed: string, known: readonly string[], before: string): string {
  const near = nearest(typed, known);
  return near === undefined ? '' : ` Did you mean ${before}${near}?`;
}
