import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';

const read = (path: string) => readFileSync(new URL(`../../${path}`, import.meta.url), 'utf8');
const changes = read('deploy/CHANGES.md');
const { version } = JSON.parse(read('package.json')) as { version: string };
const releases = [...changes.matchAll(/^## (.+)$/gm)].map(([, name = '']) => name);

test('the release at hand is the newest that is written about', () => {
  expect(releases[0]).toBe(version);
});

test('the lock file is of the same release', () => {
  const lock = JSON.parse(read('package-lock.json')) as {
    version: string;
    packages: Record<string, { version: string }>;
  };
  expect([lock.version, lock.packages['']?.version]).toEqual([version, version]);
});

test('releases stand newest first, each once, by their numbers (semver.org)', () => {
  const numbers = releases.map((name) => {
    expect(name).toMatch(/^(0|[1-9]\d*)\.(0|[1-9]\d*)\.(0|[1-9]\d*)$/);
    return name.split('.').map(Number) as [number, number, number];
  });
  const sorted = [...numbers].sort((a, b) => b[0] - a[0] || b[1] - a[1] || b[2] - a[2]);
  expect(numbers).toEqual(sorted);
  expect(new Set(releases).size).toBe(releases.length);
});

test.each(releases)('%s has entries, each of them a CHANGE, a FEATURE or a FIX', (name) => {
  const part = changes.split(`\n## ${name}\n`)[1]?.split('\n## ')[0] ?? '';
  const entries = part.split('\n').filter((line) => /^\S/.test(line));
  expect(entries.length).toBeGreaterThan(0);
  for (const entry of entries) expect(entry).toMatch(/^- (CHANGE|FEATURE|FIX): \S/);
});
