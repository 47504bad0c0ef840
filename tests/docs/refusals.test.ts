import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it, test } from 'vitest';
import { REFUSAL_CODES, RULE_CODES } from '../../src/say/refusal-codes.ts';

const ROOT = join(import.meta.dirname, '..', '..');
const developers = readFileSync(join(ROOT, 'DEVELOPERS.md'), 'utf8');
const filesOf = (folder: string) =>
  readdirSync(join(ROOT, folder), { recursive: true, encoding: 'utf8' })
    .filter((name) => name.endsWith('.ts') && !name.endsWith('refusal-codes.ts'))
    .map((name) => readFileSync(join(ROOT, folder, name), 'utf8'))
    .join('\n');

const [, section = ''] = developers.split(/^## Refusal codes$/m);
const [table = ''] = section.split(/^## /m);
const rows = [...table.matchAll(/^\| `([a-z-]+)` \| (.+) \|$/gm)].map(([, code, means]) => [
  code,
  means,
]);

describe('the codes of refusals', () => {
  test('the list and the table of DEVELOPERS.md are the same, in order', () => {
    expect(rows).toEqual(Object.entries(REFUSAL_CODES).sort(([a], [b]) => (a < b ? -1 : 1)));
  });

  test('each means something of its own, in one sentence', () => {
    const meanings = Object.values(REFUSAL_CODES);
    expect(new Set(meanings).size).toBe(meanings.length);
    for (const means of meanings) expect(means).toMatch(/^[A-Z].*[^.]\.$/);
  });

  const code = `${filesOf('src')}\n${filesOf('commands')}`;
  it.each(Object.keys(REFUSAL_CODES))('%s is given by something', (name) => {
    expect(code).toContain(`'${name}'`);
  });

  const rules = filesOf('src/trip');
  it.each(Object.keys(RULE_CODES))('%s is a rule of the trip', (name) => {
    expect(rules).toMatch(new RegExp(`rule: '${name}'`));
  });
});
