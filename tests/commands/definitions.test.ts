import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it, test } from 'vitest';
import { commands } from '../../commands/index.ts';
import { findSub, type OptionDef, type Sub } from '../../src/app/command.ts';
import { decodePress, encodePress } from '../../src/chat/discord/custom-id.ts';
import { definitionProblems } from '../../src/chat/discord/definition-limits.ts';
import { commandsJson } from '../../src/chat/discord/definitions.ts';
import { LIMITS } from '../../src/limits.ts';
import { CATALOGUE, type Key } from '../../src/say/contact/words.ts';

const ROOT = join(import.meta.dirname, '../..');
const SUBS: readonly (readonly [path: string, sub: Sub])[] = commands.flatMap((c) => [
  ...(c.bare === undefined ? [] : [[c.name, c.bare] as const]),
  ...Object.entries(c.subs ?? {}).map(([name, sub]) => [`${c.name} ${name}`, sub] as const),
]);

/** Counted here once more from what is sent, apart from src/chat/discord/definition-limits.ts. */
describe('within the limits Discord publishes (interactions/application-commands.mdx)', () => {
  const json = commandsJson(commands) as unknown as Node[];
  interface Node {
    name: string;
    description: string;
    description_localizations?: Record<string, string>;
    required?: boolean;
    options?: Node[];
    choices?: { name: string; value: string | number }[];
  }
  const nodes = (node: Node): Node[] => [node, ...(node.options ?? []).flatMap(nodes)];

  test('what contacts use is listed in their language too', () => {
    const paths = Object.keys(CATALOGUE.en).filter((key) => key.startsWith('command.'));
    expect(paths.length).toBeGreaterThan(5);
    for (const key of paths as Key[]) {
      const [name = '', sub] = key.slice('command.'.length).split(' ');
      const node = json.find((c) => c.name === name)?.options?.find((o) => o.name === sub);
      expect([key, node?.description]).toEqual([key, CATALOGUE.en[key]]);
      const de = CATALOGUE.de[key];
      expect(node?.description_localizations).toEqual({ de });
      expect(de.length).toBeLessThanOrEqual(100);
    }
    expect(json.find((c) => c.name === 'pitch')?.options?.[0]).not.toHaveProperty(
      'description_localizations',
    );
  });

  test('the checker of the registration finds nothing', () => {
    expect(definitionProblems(commandsJson(commands))).toEqual([]);
  });

  it.each(json.map((c) => [c.name, c] as const))('/%s', (_, command) => {
    let size = 0;
    for (const node of nodes(command)) {
      expect(node.name).toMatch(/^[-_\p{L}\p{N}]{1,32}$/u);
      expect(node.name).toBe(node.name.toLowerCase());
      expect([node.name, node.description.length >= 1 && node.description.length <= 100]).toEqual([
        node.name,
        true,
      ]);
      expect((node.options ?? []).length).toBeLessThanOrEqual(25);
      expect((node.choices ?? []).length).toBeLessThanOrEqual(25);
      size += node.name.length + node.description.length;
      for (const choice of node.choices ?? []) {
        expect(choice.name.length).toBeGreaterThan(0);
        expect(Math.max(choice.name.length, String(choice.value).length)).toBeLessThanOrEqual(100);
        size += choice.name.length + String(choice.value).length;
      }
      const order = (node.options ?? []).map((o) => o.required === true);
      expect(order).toEqual([...order].sort((a, b) => Number(b) - Number(a)));
    }
    expect(size).toBeLessThanOrEqual(8000);
  });

  test('at most a hundred, each name once', () => {
    expect(commands.length).toBeLessThanOrEqual(100);
    expect(new Set(commands.map((c) => c.name)).size).toBe(commands.length);
    expect(commands.every((c) => (c.bare === undefined) !== (c.subs === undefined))).toBe(true);
  });
});

describe('what a button carries fits its id at the extremes', () => {
  /** As long as a value of this option gets: the widest number, the longest text it takes. */
  const extreme = (def: OptionDef): string | number | boolean | undefined => {
    if (def.type === 'boolean') return true;
    if (def.type === 'integer' || def.type === 'number') return def.max ?? LIMITS.entry;
    return undefined;
  };
  const INSTANT = '2031-06-12T12:22:00.000Z';
  const trip = 'k3v9x2ab';
  const presses: [string, Record<string, string | number | boolean>][] = [
    ['pitch strike', { entry: LIMITS.entry, until: LIMITS.entry }],
    ['pitch strike', { entry: LIMITS.entry, above: true }],
    ['pitch amend', { entry: LIMITS.entry, at: INSTANT }],
    ['pitch done', { number: LIMITS.pitches, at: INSTANT, from: LIMITS.pitches }],
    ['pitch done', { number: LIMITS.pitches, at: INSTANT, from: 1, leader: 'm'.repeat(24) }],
    ['trip depart', { at: INSTANT }],
    ['trip close', { sure: true }],
    ['trip purge', { sure: trip }],
    ['lead assign', { pitch: LIMITS.pitches, leader: 'm'.repeat(24), sure: true }],
    ['lead swap', { a: LIMITS.pitches, b: LIMITS.pitches, sure: true }],
    ['log show', { page: 1000 }],
  ];

  it.each(presses)('%s %j', (path, options) => {
    const id = encodePress({ trip, press: { path, options } }, 24);
    expect(id).toBeDefined();
    expect(id?.length).toBeLessThanOrEqual(100);
    expect(decodePress(id as string)).toEqual({ trip, press: { path, options } });
    const sub = findSub(commands, path);
    expect(Object.keys(options).filter((name) => sub?.options[name] === undefined)).toEqual([]);
  });

  it.each(SUBS)('numbers and yes-or-no of /%s', (path, sub) => {
    const options = Object.fromEntries(
      Object.entries(sub.options).flatMap(([name, def]) => {
        const value = extreme(def);
        return value === undefined || name.length > 12 ? [] : [[name, value] as const];
      }),
    );
    const few = Object.fromEntries(Object.entries(options).slice(0, 3));
    expect(encodePress({ trip, press: { path, options: few } }, 24)).toBeDefined();
  });
});

describe('what texts tell people to type', () => {
  const files = ['src', 'commands'].flatMap((folder) =>
    readdirSync(join(ROOT, folder), { recursive: true, encoding: 'utf8' })
      .filter((name) => name.endsWith('.ts'))
      .map((name) => join(folder, name)),
  );
  /** `/pitch done number: at:` in a string of the source; templates keep their placeholders. */
  const HINT =
    /(?<![\w/.`*<:)])\/([a-z]{3,12})(?: ([a-z]{2,12}))?((?: \[?[a-z_]+:[^\s'"`,;.)]*)*)/g;
  const names = new Set(commands.map((c) => c.name));

  const hints = files.flatMap((file) =>
    readFileSync(join(ROOT, file), 'utf8')
      .split('\n')
      .filter((line) => !/^\s*(import|export .* from|\/\/|\*|\/\*)/.test(line))
      .flatMap((line) =>
        [...line.matchAll(HINT)].flatMap(([hint, name = '', sub, options = '']) =>
          names.has(name) ? [{ file, hint, name, sub, options }] : [],
        ),
      ),
  );

  test('no text speaks of a command that is not there', () => {
    const texts = files.filter((f) => /^(commands|src\/(app|trip|watch|chat|run))\//.test(f));
    const spoken = texts.flatMap((file) =>
      [
        ...readFileSync(join(ROOT, file), 'utf8').matchAll(
          /(?<=[`'" (])\/([a-z]{3,12})\b(?![-/])/g,
        ),
      ].map((m) => m[1] as string),
    );
    // `/command …` stands for any of them in a comment; the others are addresses of the status page.
    const other = new Set(['command', 'healthz', 'metrics']);
    const strange = new Set(spoken.filter((name) => !names.has(name) && !other.has(name)));
    expect([...strange]).toEqual([]);
  });

  test('there are many of them', () => {
    expect(hints.length).toBeGreaterThan(80);
  });

  test('names commands and options that exist', () => {
    const wrong = hints.flatMap(({ file, hint, name, sub, options }) => {
      const command = commands.find((c) => c.name === name);
      const found =
        command?.subs === undefined
          ? command?.bare
          : sub === undefined
            ? undefined
            : command.subs[sub];
      const given = [...options.matchAll(/([a-z_]+):/g)].map((m) => m[1] as string);
      if (found === undefined) {
        // `/trip` alone, or followed by a word of the sentence, names the command as a whole.
        return given.length > 0 ? [`${file}: ${hint}`] : [];
      }
      const strange = given.filter(
        (o) => found.options[o] === undefined || found.options[o].hidden,
      );
      return strange.length === 0 ? [] : [`${file}: ${hint} (no ${strange.join(', ')})`];
    });
    expect(wrong).toEqual([]);
  });

  test('a slash before a word of ours is followed by one of its own words', () => {
    const loose = hints.flatMap(({ file, hint, name, sub }) => {
      const subs = commands.find((c) => c.name === name)?.subs;
      return subs === undefined || (sub !== undefined && sub in subs) ? [] : [`${file}: ${hint}`];
    });
    expect(loose).toEqual([]);
  });
});
