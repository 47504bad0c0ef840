import { expect } from 'vitest';
import type { No } from '../../src/trip/rules/no.ts';

/** Fails unless a refusal is a sentence with a way out, in words for people. */
export function readable(no: No): void {
  const said = [no.text, ...(no.ways ?? [])];
  expect(no.text).toMatch(/^[A-Z0-9\p{Lu}].*[.]$|^[a-z].*[.]$/u);
  if (no.rule !== 'cannot-strike') expect(no.ways?.length).toBeGreaterThan(0);
  for (const line of said) {
    expect(line).not.toMatch(/undefined|null|NaN|\[object/);
    expect(line.length).toBeLessThanOrEqual(160);
  }
}
