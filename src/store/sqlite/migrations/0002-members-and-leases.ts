import type { Migration } from './migration.ts';

/**
 * Finding a person's trips without folding every trip, and leases, so that two processes on one
 * file don't both deliver a notice. Who has posted on an older trip is taken for a member of it
 * until the next event replaces the list.
 */
export const membersAndLeases: Migration = {
  version: 2,
  sql: `
CREATE TABLE member (
  trip TEXT NOT NULL REFERENCES trip (id),
  user TEXT NOT NULL,
  PRIMARY KEY (trip, user)
) STRICT, WITHOUT ROWID;
CREATE INDEX member_by_user ON member (user);
INSERT INTO member (trip, user)
  SELECT DISTINCT trip, by_id FROM event;

ALTER TABLE trip ADD COLUMN purged_at_ms INTEGER;

ALTER TABLE notice ADD COLUMN lease_owner TEXT;
ALTER TABLE notice ADD COLUMN lease_until_ms INTEGER NOT NULL DEFAULT 0;
-- Both claiming and sleeping read these indexes alone: no row is touched that is not ready.
DROP INDEX notice_pending;
CREATE INDEX notice_pending ON notice (urgency, due_at_ms, key, next_try_at_ms, lease_until_ms)
  WHERE status = 'pending';
CREATE INDEX notice_ready ON notice (max(next_try_at_ms, lease_until_ms)) WHERE status = 'pending';
CREATE INDEX notice_leased ON notice (lease_owner) WHERE lease_owner IS NOT NULL;
`,
};
