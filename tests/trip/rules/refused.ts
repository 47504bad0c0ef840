import { describe, expect, it } from 'vitest';
import { noOf, type Post } from '../build.ts';

export type Case = [
  what: string,
  before: readonly Post[],
  fresh: Post[],
  text: string,
  ...ways: string[],
];

/** Holds every case to its words: why, and what can be done about it. */
export function refused(cases: readonly Case[]): void {
  describe('a refusal says why, and what can be done', () => {
    it.each(cases)('%s', (_, before, fresh, text, ...ways) => {
      const no = noOf(before, ...fresh);
      expect([no.text, ...(no.ways ?? [])]).toEqual([text, ...ways]);
    });
  });
}
