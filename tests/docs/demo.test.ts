import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { beforeAll, expect, test } from 'vitest';
import { printing, runScript } from '../../src/run/script.ts';

const root = fileURLToPath(new URL('../../', import.meta.url));

let said = '';
beforeAll(() =>
  runScript({
    file: `${root}deploy/demo/harrow.txt`,
    logLevel: 'silent',
    show: printing(false, (text) => {
      said += text;
    }),
  }),
);

test('no line of the demo is wider than 80 columns but what was typed', () => {
  const answers = said.split('\n').filter((line) => line.startsWith('  '));
  expect(answers.length).toBeGreaterThan(100);
  expect(answers.filter((line) => [...line].length > 80)).toEqual([]);
  expect(said).not.toMatch(/undefined|NaN|\[object|went wrong/);
});

test('what the README shows of the demo is what the demo says', () => {
  const readme = readFileSync(`${root}README.md`, 'utf8');
  const shown = /## A look at it[\s\S]*?```\n([\s\S]*?)```/.exec(readme)?.[1] ?? '';
  const lines = shown.split('\n').filter((line) => line.trim() !== '');
  expect(lines.length).toBeGreaterThan(15);
  const printed = new Set(said.split('\n'));
  expect(lines.filter((line) => !printed.has(line))).toEqual([]);
});
