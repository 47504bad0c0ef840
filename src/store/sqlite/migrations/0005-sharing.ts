import type { Migration } from './migration.ts';

/**
 * What several processes need on one database: deadlines are leased, boards are rows (they were facts,
 * and one list of them all), names can be held, and trips are numbered by their last change.
 */
export const sharing: Migration = {
  version: 5,
  sql: `
ALTER TABLE deadline ADD COLUMN lease_owner TEXT;
ALTER TABLE deadline ADD COLUMN lease_until_ms INTEGER NOT NULL DEFAULT 0;
CREATE INDEX deadline_ready ON deadline (max(due_at_ms, lease_until_ms)) WHERE fired_at_ms IS NULL;
CREATE INDEX deadline_leased ON deadline (lease_owner, due_at_ms)
  WHERE lease_owner IS NOT NULL AND fired_at_ms IS NULL;

CREATE TABLE lease (
  name TEXT NOT NULL PRIMARY KEY,
  owner TEXT NOT NULL,
  until_ms INTEGER NOT NULL
) STRICT;

ALTER TABLE trip ADD COLUMN changed INTEGER NOT NULL DEFAULT 0;
CREATE INDEX trip_by_change ON trip (changed);

CREATE TABLE board (
  trip TEXT NOT NULL PRIMARY KEY,
  posts INTEGER NOT NULL,
  channel TEXT,
  message TEXT,
  pinned INTEGER NOT NULL,
  wanted INTEGER NOT NULL,
  shown_by TEXT,
  shown_at_ms INTEGER,
  shown_seq INTEGER
) STRICT;
CREATE INDEX board_wanted ON board (trip) WHERE wanted = 1;
INSERT INTO board (trip, posts, channel, message, pinned, wanted)
  SELECT substr(name, 7), json_extract(value, '$.posts'), json_extract(value, '$.message.channel'),
    json_extract(value, '$.message.message'), json_extract(value, '$.pinned'),
    EXISTS (
      SELECT 1 FROM fact AS list, json_each(list.value) AS wanted
      WHERE list.name = 'boards' AND wanted.value = substr(fact.name, 7)
    )
  FROM fact
  WHERE name LIKE 'board:%' AND json_valid(value) AND json_type(value, '$.posts') = 'integer'
    AND json_type(value, '$.pinned') IN ('true', 'false');
DELETE FROM fact WHERE name = 'boards' OR name LIKE 'board:%';
`,
};
