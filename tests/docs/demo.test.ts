import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { expect, test } from 'vitest';
import { printing, runScript } from '../../src/run/script.ts';

const root = fileURLToPath(new URL('../../', import.meta.url));

test('what the README shows of the demo is what the demo says', async () => {
  let said = '';
  await runScript({
    file: `${root}deploy/demo/harrow.txt`,
    logLevel: 'silent',
    show: printing(false, (text) => {
      said += text;
    }),
  });
  const readme = readFileSync(`${root}README.md`, 'utf8');
  const shown = /## A look at it[\s\S]*?```\n([\s\S]*?)```/.exec(readme)?.[1] ?? '';
  const lines = shown.split('\n').filter((line) => line.trim() !== '');
  expect(lines.length).toBeGreaterThan(15);
  const printed = new Set(said.split('\n'));
  expect(lines.filter((line) => !printed.has(line))).toEqual([]);
});
