import { readdir } from 'node:fs/promises';
import type { App } from '../../app/app.ts';
import { type Call, findSub, type OptionDef, type RawValue } from '../../app/command.ts';
import { suggestions } from '../suggestions.ts';
import { visible } from './parse-command.ts';
import { quoteValue, splitWords, type Word } from './words.ts';

export interface Typing {
  app: App;
  call: Call;
  /** The line up to the cursor. */
  line: string;
  /** Buttons this person could press. */
  labels: readonly string[];
  /** People who have spoken, for options that name a person. */
  people: readonly string[];
  folder: string;
}

const LIMIT_MS = 1500;

/**
 * What may come next, from the same definitions as the commands themselves, and the part of the line
 * that it replaces (as `node:readline` wants it). Never rejects.
 */
export async function completions(typing: Typing): Promise<[string[], string]> {
  const { line, app } = typing;
  const tail = /\S*$/u.exec(line)?.[0] ?? '';
  if (line.trimStart().startsWith('[')) {
    return begin(
      typing.labels.map((l) => `[${l}]`),
      line.trimStart(),
    );
  }
  if (/^\s*as\s+\S*$/u.test(line)) return begin(typing.people, tail);
  if (!line.trimStart().startsWith('/')) return [[], line];
  const words = lenientWords(line);
  const last = /\s$/u.test(line) ? undefined : words.at(-1);
  const done = last === undefined ? words : words.slice(0, -1);
  if (done.length === 0)
    return begin(
      app.commands.map((c) => `/${c.name} `),
      tail,
    );
  const command = app.commands.find((c) => `/${c.name}` === done[0]?.value);
  if (command?.subs !== undefined && done.length === 1) {
    return begin(
      Object.keys(command.subs).map((s) => `${s} `),
      tail,
    );
  }
  const path = [done[0]?.value.slice(1), command?.subs === undefined ? '' : done[1]?.value];
  const sub = findSub(app.commands, path.join(' ').trim());
  if (sub === undefined) return [[], tail];
  const options = visible(sub.options);
  if (last?.name !== undefined) {
    const shown = line.slice(last.start);
    const def = options[last.name];
    const values = await valuesFor(typing, def, last.value, done);
    const open = last.name;
    return begin(
      values.map((v) => `${open}:${quoteValue(v)} `),
      shown.replace(/:"/u, ':'),
      shown,
    );
  }
  const used = new Set(done.map((w) => w.name));
  const free = Object.entries(options).filter(([name]) => !used.has(name));
  // Needed options first: they are what is still missing.
  const ordered = [...free.filter(([, d]) => d.required), ...free.filter(([, d]) => !d.required)];
  return begin(
    ordered.map(([name]) => `${name}:`),
    tail,
  );
}

async function valuesFor(
  typing: Typing,
  def: OptionDef | undefined,
  typed: string,
  done: readonly Word[],
): Promise<string[]> {
  if (def?.type === 'boolean') return ['yes', 'no'];
  if (def?.type === 'user') return [...typing.people];
  if (def?.type === 'file') return filesIn(typing.folder);
  const others: Record<string, RawValue> = {};
  for (const word of done) if (word.name !== undefined) others[word.name] = word.value;
  const { app, call } = typing;
  const found = await suggestions(app, def, { call, typed, others, limitMs: LIMIT_MS });
  return found.map((choice) => String(choice.value));
}

async function filesIn(folder: string): Promise<string[]> {
  const entries = await readdir(folder, { withFileTypes: true }).catch(() => []);
  return entries
    .filter((e) => e.isFile())
    .map((e) => e.name)
    .sort();
}

/** Words of a line whose last quotes may still be open. */
function lenientWords(line: string): Word[] {
  const split = splitWords(line);
  if (split.ok) return split.words;
  const closed = splitWords(`${line}"`);
  return closed.ok ? closed.words : [];
}

/** Those that begin with what is typed, whatever the case and with or without quotes. */
function begin(known: readonly string[], typed: string, replaces = typed): [string[], string] {
  const want = typed.toLowerCase();
  const fits = known.filter((k) => k.replace(/:"/u, ':').toLowerCase().startsWith(want));
  return [fits, replaces];
}
