import type { Migration } from './migration.ts';

/** The tables, as SQLite has them after its fifth step. Text is ordered by its bytes, as there. */
export const shape: Migration = {
  version: 1,
  sql: `
CREATE TABLE trip (
  id text COLLATE "C" PRIMARY KEY,
  channel text NOT NULL,
  guild text,
  name text NOT NULL,
  status text NOT NULL CHECK (status IN ('open', 'closed', 'purged')),
  seq bigint NOT NULL CHECK (seq >= 0),
  opened_at_ms bigint NOT NULL,
  purged_at_ms bigint,
  -- The transaction that changed it last, for whoever looks for changes.
  changed bigint NOT NULL DEFAULT 0,
  n bigint GENERATED ALWAYS AS IDENTITY
);
CREATE UNIQUE INDEX trip_one_open_per_channel ON trip (channel) WHERE status = 'open';
CREATE INDEX trip_by_channel ON trip (channel, opened_at_ms, n);
CREATE INDEX trip_by_change ON trip (changed);
CREATE INDEX trip_open ON trip (opened_at_ms, id) WHERE status = 'open';

CREATE TABLE event (
  trip text COLLATE "C" NOT NULL REFERENCES trip (id),
  seq bigint NOT NULL CHECK (seq >= 1),
  id text COLLATE "C" NOT NULL,
  kind text NOT NULL,
  at_ms bigint NOT NULL,
  recorded_at_ms bigint NOT NULL,
  by_id text NOT NULL,
  by_name text NOT NULL,
  typed text,
  data text NOT NULL,
  -- Null where the content was erased.
  salt text,
  content text NOT NULL,
  hash text NOT NULL,
  PRIMARY KEY (trip, seq),
  UNIQUE (trip, id)
);

CREATE TABLE answer (
  key text COLLATE "C" PRIMARY KEY,
  trip text COLLATE "C" NOT NULL REFERENCES trip (id),
  seq bigint NOT NULL,
  answer text NOT NULL
);
CREATE INDEX answer_by_trip ON answer (trip);

CREATE TABLE member (
  trip text COLLATE "C" NOT NULL REFERENCES trip (id),
  "user" text COLLATE "C" NOT NULL,
  PRIMARY KEY (trip, "user")
);
CREATE INDEX member_by_user ON member ("user");

CREATE TABLE deadline (
  trip text COLLATE "C" NOT NULL REFERENCES trip (id),
  key text COLLATE "C" NOT NULL,
  due_at_ms bigint NOT NULL,
  data text NOT NULL,
  fired_at_ms bigint,
  lease_owner text COLLATE "C",
  lease_until_ms bigint NOT NULL DEFAULT 0,
  PRIMARY KEY (trip, key)
);
CREATE INDEX deadline_unfired ON deadline (due_at_ms, trip, key) WHERE fired_at_ms IS NULL;
CREATE INDEX deadline_ready ON deadline (greatest(due_at_ms, lease_until_ms)) WHERE fired_at_ms IS NULL;
CREATE INDEX deadline_leased ON deadline (lease_owner, due_at_ms)
  WHERE lease_owner IS NOT NULL AND fired_at_ms IS NULL;

CREATE TABLE notice (
  key text COLLATE "C" PRIMARY KEY,
  trip text COLLATE "C" NOT NULL REFERENCES trip (id),
  urgency integer NOT NULL,
  due_at_ms bigint NOT NULL,
  expires_at_ms bigint,
  data text NOT NULL,
  nonce text NOT NULL UNIQUE CHECK (length(nonce) <= 25),
  status text NOT NULL CHECK (status IN ('pending', 'sent', 'failed', 'cancelled', 'expired')),
  attempts integer NOT NULL DEFAULT 0,
  next_try_at_ms bigint NOT NULL,
  last_error text,
  sent_at_ms bigint,
  receipt text,
  lease_owner text COLLATE "C",
  lease_until_ms bigint NOT NULL DEFAULT 0
);
CREATE INDEX notice_by_trip ON notice (trip);
CREATE INDEX notice_pending ON notice (urgency, due_at_ms, key) WHERE status = 'pending';
CREATE INDEX notice_ready ON notice (greatest(next_try_at_ms, lease_until_ms)) WHERE status = 'pending';
CREATE INDEX notice_leased ON notice (lease_owner) WHERE lease_owner IS NOT NULL;

CREATE TABLE board (
  trip text COLLATE "C" PRIMARY KEY,
  posts integer NOT NULL,
  channel text,
  message text,
  pinned integer NOT NULL,
  wanted integer NOT NULL,
  shown_by text,
  shown_at_ms bigint,
  shown_seq bigint
);
CREATE INDEX board_wanted ON board (trip) WHERE wanted = 1;

CREATE TABLE fact (
  name text COLLATE "C" PRIMARY KEY,
  value text NOT NULL
);

CREATE TABLE lease (
  name text COLLATE "C" PRIMARY KEY,
  owner text COLLATE "C" NOT NULL,
  until_ms bigint NOT NULL
);
`,
};
