import type { Migration } from './migration.ts';

/** An append may say which event it comes after, not only the number of it. */
export const afterId: Migration = {
  version: 3,
  sql: `
CREATE OR REPLACE FUNCTION append_to_trip(p jsonb) RETURNS jsonb LANGUAGE plpgsql AS $$
DECLARE
  v_trip trip;
  v_before jsonb;
  v_taken text;
BEGIN
  SELECT * INTO v_trip FROM trip WHERE id = p->>'trip' FOR NO KEY UPDATE;
  v_before := repeated_answer(p->>'key');
  IF v_before IS NOT NULL THEN RETURN v_before; END IF;
  IF v_trip.id IS NULL OR v_trip.status = 'purged' THEN
    RETURN jsonb_build_object('ok', false, 'why', 'no-trip');
  END IF;
  IF v_trip.seq <> (p->>'after_seq')::bigint OR p->>'after_id' IS NOT NULL AND NOT EXISTS (
    SELECT 1 FROM event WHERE trip = v_trip.id AND seq = v_trip.seq AND id = p->>'after_id'
  ) THEN
    RETURN jsonb_build_object('ok', false, 'why', 'conflict');
  END IF;
  IF p->>'status' = 'open' THEN
    SELECT id INTO v_taken FROM trip
      WHERE channel = v_trip.channel AND status = 'open' AND id <> v_trip.id;
    IF v_taken IS NOT NULL THEN
      RETURN jsonb_build_object('ok', false, 'why', 'channel-taken', 'trip', v_taken);
    END IF;
  END IF;
  RETURN write_append(p);
END
$$;
`,
};
