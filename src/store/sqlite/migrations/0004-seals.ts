import type { Migration } from './migration.ts';

/** Each entry is bound to those before it; the entries that are there are sealed as they stand. */
export const seals: Migration = {
  version: 4,
  sql: `
ALTER TABLE event ADD COLUMN salt TEXT;
ALTER TABLE event ADD COLUMN content TEXT NOT NULL DEFAULT '';
ALTER TABLE event ADD COLUMN hash TEXT NOT NULL DEFAULT '';
`,
  also: 'seal',
};
