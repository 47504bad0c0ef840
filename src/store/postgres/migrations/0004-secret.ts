import type { Migration } from './migration.ts';

/**
 * The secret that contacts' links are made of, the same for all who share the database. It stands apart from what
 * is copied, so that a copy opens nobody's page.
 */
export const secret: Migration = {
  version: 4,
  sql: `
CREATE TABLE secret (
  one boolean PRIMARY KEY DEFAULT true CHECK (one),
  value text NOT NULL
);
`,
};
