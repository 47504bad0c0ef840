import type { Migration } from './migration.ts';

/** The first shape: trips, their events, the answers given, what falls due, what is to be told. */
export const trips: Migration = {
  version: 1,
  sql: `
CREATE TABLE trip (
  id TEXT NOT NULL PRIMARY KEY,
  channel TEXT NOT NULL,
  guild TEXT,
  name TEXT NOT NULL,
  status TEXT NOT NULL CHECK (status IN ('open', 'closed', 'purged')),
  seq INTEGER NOT NULL CHECK (seq >= 0),
  opened_at_ms INTEGER NOT NULL
) STRICT;
CREATE UNIQUE INDEX trip_one_open_per_channel ON trip (channel) WHERE status = 'open';
CREATE INDEX trip_by_channel ON trip (channel, opened_at_ms);

CREATE TABLE event (
  trip TEXT NOT NULL REFERENCES trip (id),
  seq INTEGER NOT NULL CHECK (seq >= 1),
  id TEXT NOT NULL UNIQUE,
  kind TEXT NOT NULL,
  at_ms INTEGER NOT NULL,
  recorded_at_ms INTEGER NOT NULL,
  by_id TEXT NOT NULL,
  by_name TEXT NOT NULL,
  typed TEXT,
  data TEXT NOT NULL,
  PRIMARY KEY (trip, seq)
) STRICT;

CREATE TABLE answer (
  key TEXT NOT NULL PRIMARY KEY,
  trip TEXT NOT NULL REFERENCES trip (id),
  seq INTEGER NOT NULL,
  answer TEXT NOT NULL
) STRICT;
CREATE INDEX answer_by_trip ON answer (trip);

CREATE TABLE deadline (
  trip TEXT NOT NULL REFERENCES trip (id),
  key TEXT NOT NULL,
  due_at_ms INTEGER NOT NULL,
  data TEXT NOT NULL,
  fired_at_ms INTEGER,
  PRIMARY KEY (trip, key)
) STRICT;
CREATE INDEX deadline_unfired ON deadline (due_at_ms, trip, key) WHERE fired_at_ms IS NULL;

CREATE TABLE notice (
  key TEXT NOT NULL PRIMARY KEY,
  trip TEXT NOT NULL REFERENCES trip (id),
  urgency INTEGER NOT NULL,
  due_at_ms INTEGER NOT NULL,
  expires_at_ms INTEGER,
  data TEXT NOT NULL,
  nonce TEXT NOT NULL UNIQUE CHECK (length(nonce) <= 25),
  status TEXT NOT NULL CHECK (status IN ('pending', 'sent', 'failed', 'cancelled', 'expired')),
  attempts INTEGER NOT NULL DEFAULT 0,
  next_try_at_ms INTEGER NOT NULL,
  last_error TEXT,
  sent_at_ms INTEGER,
  receipt TEXT
) STRICT;
CREATE INDEX notice_by_trip ON notice (trip);
CREATE INDEX notice_pending ON notice (urgency, due_at_ms, key) WHERE status = 'pending';

CREATE TABLE fact (
  name TEXT NOT NULL PRIMARY KEY,
  value TEXT NOT NULL
) STRICT;
`,
};
