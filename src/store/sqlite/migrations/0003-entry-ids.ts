import type { Migration } from './migration.ts';

/**
 * An entry's id is unique within its trip, no longer in the whole file: a record that was exported
 * opens beside the trip it came from.
 */
export const entryIds: Migration = {
  version: 3,
  sql: `
CREATE TABLE event_of_trip (
  trip TEXT NOT NULL REFERENCES trip (id),
  seq INTEGER NOT NULL CHECK (seq >= 1),
  id TEXT NOT NULL,
  kind TEXT NOT NULL,
  at_ms INTEGER NOT NULL,
  recorded_at_ms INTEGER NOT NULL,
  by_id TEXT NOT NULL,
  by_name TEXT NOT NULL,
  typed TEXT,
  data TEXT NOT NULL,
  PRIMARY KEY (trip, seq),
  UNIQUE (trip, id)
) STRICT;
INSERT INTO event_of_trip SELECT * FROM event;
DROP TABLE event;
ALTER TABLE event_of_trip RENAME TO event;
`,
};
