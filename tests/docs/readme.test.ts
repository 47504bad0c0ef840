import { readdirSync, readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { commands } from '../../commands/index.ts';
import { findSub } from '../../src/app/command.ts';
import { commandsJson } from '../../src/chat/discord/definitions.ts';
import { parseCommand, Unreadable } from '../../src/chat/local/parse-command.ts';
import { splitWords } from '../../src/chat/local/words.ts';
import { LIMITS } from '../../src/limits.ts';
import { settingNames } from '../../src/settings.ts';
import { GTFS_LIMITS } from '../../src/timetable/gtfs/limits.ts';

const readme = readFileSync(new URL('../../README.md', import.meta.url), 'utf8');
const developers = readFileSync(new URL('../../DEVELOPERS.md', import.meta.url), 'utf8');
const rows = [...readme.matchAll(/^\| (\/\S+(?: [a-z]+)?) \| [^|]+ \| `([^`]+)` \|$/gm)];

const paths = commands.flatMap((c) =>
  c.bare === undefined ? Object.keys(c.subs ?? {}).map((s) => `${c.name} ${s}`) : [c.name],
);

test('the first paragraph says what the job is', () => {
  const [, first] = readme.split('\n\n');
  for (const word of ['climbing party', 'top', 'leads', 'contact']) expect(first).toContain(word);
});

test.each(paths)('/%s stands in the README with an example of it', (path) => {
  const row = rows.find(([, command]) => command === `/${path}`);
  expect(row?.[2]?.startsWith(`/${path}`)).toBe(true);
});

test('the README names no command that is not there', () => {
  for (const [, command] of rows) expect(paths).toContain(command?.slice(1));
});

test.each(rows.map(([, , example]) => example as string))('%s can be read', async (example) => {
  const split = splitWords(example);
  if (!split.ok) throw new Error(split.problem);
  const { words } = split;
  const read = parseCommand(commands, words, '.');
  // Files of the examples aren't here; everything else must be right.
  if (/\.(csv|zip)\b/.test(example)) await expect(read).rejects.toThrow(Unreadable);
  else await expect(read).resolves.toBeDefined();
  const path = words
    .slice(0, findSub(commands, words[0]!.value.slice(1)) === undefined ? 2 : 1)
    .map((w) => w.value.replace(/^\//, ''))
    .join(' ');
  expect(findSub(commands, path)).toBeDefined();
});

test('the steps on Discord name the ways of installing that commands are registered for, and no other', () => {
  const [, step = ''] = /^2\. (.+?)^3\. /msu.exec(readme) ?? [];
  const types = new Set(commandsJson(commands).flatMap((c) => c.integration_types ?? []));
  // Discord's API reference, Application Integration Types: 0 is GUILD_INSTALL, 1 USER_INSTALL.
  expect(step.includes('Guild Install')).toBe(types.has(0));
  expect(step.includes('User Install')).toBe(types.has(1));
});

test.each(settingNames())('setting %s stands in the README', (name) => {
  expect(readme).toContain(`\`${name}\``);
});

test('every folder of src stands in the tree of DEVELOPERS.md, and no other', () => {
  const [, tree = ''] = developers.split('## The tree');
  const named = [...tree.matchAll(/^ {2}([a-z]+)\/ {2,}/gm)].map(([, name]) => name);
  const there = readdirSync(new URL('../../src', import.meta.url), { withFileTypes: true })
    .filter((entry) => entry.isDirectory())
    .map((entry) => entry.name);
  expect([...named].sort()).toEqual(there.sort());
});

test('every dependency has its reason in DEVELOPERS.md', () => {
  const { dependencies, devDependencies } = JSON.parse(
    readFileSync(new URL('../../package.json', import.meta.url), 'utf8'),
  ) as Record<'dependencies' | 'devDependencies', Record<string, string>>;
  const named = [...Object.keys(dependencies), ...Object.keys(devDependencies)];
  for (const name of named.filter((n) => !n.startsWith('@types/'))) {
    expect(developers).toContain(name);
  }
});

test('ASVS V5.1.1: the README says which files are read, and up to which size', () => {
  const { topoBytes, topoRows, recordBytes, entry } = LIMITS;
  const words = readme.replaceAll(/\s+/g, ' ');
  expect(words).toContain(`A topo is read up to ${topoBytes / 1024} kB and ${topoRows} rows`);
  expect(words).toContain(
    `up to ${recordBytes / 2 ** 20} MB and ${entry.toLocaleString('en')} entries`,
  );
  expect(words).toContain(`a GTFS zip up to ${GTFS_LIMITS.zipBytes / 2 ** 20} MB`);
});
