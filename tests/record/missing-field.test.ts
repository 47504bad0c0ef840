import { expect, test } from 'vitest';
import { readRecord } from '../../src/record/file/import.ts';

test('a record without its fields is refused in words, field by field', async () => {
  const refused = await readRecord(new TextEncoder().encode('{"seq":1}\n')).catch(
    (e: unknown) => e,
  );
  const said = JSON.stringify((refused as { lines?: unknown }).lines);
  expect(said).toMatch(/Line 1: \w+: is missing/u);
  expect(said).not.toMatch(/undefined|Invalid input/u);
});
