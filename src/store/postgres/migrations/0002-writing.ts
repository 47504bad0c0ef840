import type { Migration } from './migration.ts';

/**
 * What writes to a trip, as functions: each is one statement for whoever calls it, so one round trip and
 * one transaction. The trip's row is locked first, and what follows is read after that (every statement
 * of a volatile function sees what was committed before it: postgresql.org/docs/current/xfunc-volatility.html),
 * so writers to one trip come one after the other, as if there were no others.
 */
export const writing: Migration = {
  version: 2,
  sql: `
CREATE FUNCTION queue_notices(p_notices jsonb) RETURNS void LANGUAGE sql AS $$
  INSERT INTO notice
    (key, trip, urgency, due_at_ms, expires_at_ms, data, nonce, status, next_try_at_ms)
  SELECT key, trip, urgency, due_at_ms, expires_at_ms, data, nonce, 'pending', due_at_ms
  FROM jsonb_to_recordset(p_notices) AS n (key text, trip text, urgency integer, due_at_ms bigint,
    expires_at_ms bigint, data text, nonce text)
  ON CONFLICT (key) DO NOTHING
$$;

-- Everything but the checks.
CREATE FUNCTION write_append(p jsonb) RETURNS jsonb LANGUAGE plpgsql AS $$
DECLARE
  v_trip text := p->>'trip';
  v_seq bigint := (p->>'after_seq')::bigint + jsonb_array_length(p->'events');
  v_changed bigint := pg_current_xact_id()::text::bigint;
  v_prev text;
  v_event record;
BEGIN
  IF jsonb_typeof(p->'redact') = 'array' THEN
    UPDATE event AS e
      SET by_id = r.by_id, by_name = r.by_name, typed = NULL, data = r.data, salt = NULL
      FROM jsonb_to_recordset(p->'redact') AS r (seq bigint, by_id text, by_name text, data text)
      WHERE e.trip = v_trip AND e.seq = r.seq;
    DELETE FROM answer WHERE trip = v_trip;
    DELETE FROM notice WHERE trip = v_trip AND status <> 'pending';
  END IF;
  SELECT hash INTO v_prev FROM event WHERE trip = v_trip ORDER BY seq DESC LIMIT 1;
  FOR v_event IN SELECT * FROM jsonb_to_recordset(p->'events') AS x (seq bigint, id text, kind text,
    at_ms bigint, recorded_at_ms bigint, by_id text, by_name text, typed text, data text,
    salt text, content text, head text, tail text) ORDER BY seq
  LOOP
    -- Each is bound to the one before it, which is known only now.
    v_prev := encode(sha256(convert_to(v_event.head || coalesce(v_prev, '') || v_event.tail, 'UTF8')), 'hex');
    INSERT INTO event (trip, seq, id, kind, at_ms, recorded_at_ms, by_id, by_name, typed, data,
        salt, content, hash)
      VALUES (v_trip, v_event.seq, v_event.id, v_event.kind, v_event.at_ms, v_event.recorded_at_ms, v_event.by_id, v_event.by_name, v_event.typed,
        v_event.data, v_event.salt, v_event.content, v_prev);
  END LOOP;
  UPDATE trip SET seq = v_seq, status = p->>'status', name = p->>'name', changed = v_changed
    WHERE id = v_trip;
  DELETE FROM member WHERE trip = v_trip AND NOT p->'members' ? "user";
  INSERT INTO member (trip, "user")
    SELECT v_trip, m FROM jsonb_array_elements_text(p->'members') AS m ON CONFLICT DO NOTHING;
  DELETE FROM deadline AS d WHERE d.trip = v_trip AND NOT EXISTS (
    SELECT 1 FROM jsonb_to_recordset(p->'deadlines') AS k (key text) WHERE k.key = d.key);
  INSERT INTO deadline AS d (trip, key, due_at_ms, data)
    SELECT v_trip, key, due_at_ms, data
    FROM jsonb_to_recordset(p->'deadlines') AS k (key text, due_at_ms bigint, data text)
    ON CONFLICT (trip, key) DO UPDATE SET
      due_at_ms = excluded.due_at_ms,
      data = excluded.data,
      lease_owner = NULL,
      lease_until_ms = 0,
      fired_at_ms = CASE WHEN d.due_at_ms = excluded.due_at_ms THEN d.fired_at_ms END;
  UPDATE notice SET status = 'cancelled', lease_owner = NULL, lease_until_ms = 0
    WHERE trip = v_trip AND status = 'pending' AND p->'cancel' ? key;
  PERFORM queue_notices(p->'notices');
  INSERT INTO answer (key, trip, seq, answer) VALUES (p->>'key', v_trip, v_seq, p->>'answer');
  RETURN jsonb_build_object('ok', true, 'seq', v_seq, 'changed', v_changed);
END
$$;

CREATE FUNCTION repeated_answer(p_key text) RETURNS jsonb LANGUAGE sql AS $$
  SELECT jsonb_build_object('ok', false, 'why', 'repeated', 'answer', answer)
  FROM answer WHERE key = p_key
$$;

-- A channel or a key that somebody takes at the same moment is refused by its index: asked again, it is seen here.
CREATE FUNCTION open_trip(p_row jsonb, p jsonb) RETURNS jsonb LANGUAGE plpgsql AS $$
DECLARE
  v_before jsonb := repeated_answer(p->>'key');
  v_taken text;
BEGIN
  IF v_before IS NOT NULL THEN RETURN v_before; END IF;
  SELECT id INTO v_taken FROM trip WHERE channel = p_row->>'channel' AND status = 'open';
  IF v_taken IS NOT NULL THEN
    RETURN jsonb_build_object('ok', false, 'why', 'channel-taken', 'trip', v_taken);
  END IF;
  IF EXISTS (SELECT 1 FROM trip WHERE id = p_row->>'id') THEN
    RETURN jsonb_build_object('ok', false, 'why', 'conflict');
  END IF;
  INSERT INTO trip (id, channel, guild, name, status, seq, opened_at_ms)
    VALUES (p_row->>'id', p_row->>'channel', p_row->>'guild', p->>'name', 'open', 0,
      (p_row->>'opened_at_ms')::bigint);
  RETURN write_append(p);
END
$$;

CREATE FUNCTION append_to_trip(p jsonb) RETURNS jsonb LANGUAGE plpgsql AS $$
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
  IF v_trip.seq <> (p->>'after_seq')::bigint THEN
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

-- What did not hold is undone as a whole: the block with its own handler is a subtransaction.
CREATE FUNCTION fire_deadlines(p jsonb) RETURNS jsonb LANGUAGE plpgsql AS $$
DECLARE
  v_seq bigint;
  v_marked integer;
  v_result jsonb := jsonb_build_object('ok', true);
  v_why text;
BEGIN
  SELECT seq INTO v_seq FROM trip WHERE id = p->>'trip' FOR NO KEY UPDATE;
  IF p->>'after_seq' IS NOT NULL AND v_seq IS DISTINCT FROM (p->>'after_seq')::bigint THEN
    RETURN jsonb_build_object('ok', false, 'why', 'conflict');
  END IF;
  UPDATE deadline SET fired_at_ms = (p->>'at_ms')::bigint
    WHERE trip = p->>'trip' AND p->'keys' ? key AND fired_at_ms IS NULL
      AND due_at_ms <= (p->>'at_ms')::bigint;
  GET DIAGNOSTICS v_marked = ROW_COUNT;
  IF v_marked < jsonb_array_length(p->'keys') THEN
    RAISE EXCEPTION 'not fired' USING ERRCODE = 'TL001', DETAIL = 'already';
  END IF;
  IF jsonb_typeof(p->'append') = 'object' THEN
    v_result := append_to_trip(p->'append');
    v_why := v_result->>'why';
    IF v_why IN ('repeated', 'no-trip') THEN
      RAISE EXCEPTION 'not fired' USING ERRCODE = 'TL001', DETAIL = 'already';
    ELSIF v_why IS NOT NULL THEN
      RAISE EXCEPTION 'not fired' USING ERRCODE = 'TL001', DETAIL = 'conflict';
    END IF;
  END IF;
  PERFORM queue_notices(p->'notices');
  RETURN v_result;
END
$$;

CREATE FUNCTION record_deliveries(p jsonb) RETURNS void LANGUAGE plpgsql AS $$
DECLARE
  d record;
BEGIN
  FOR d IN SELECT * FROM jsonb_to_recordset(p) AS x (key text, status text, at_ms bigint,
    receipt text, next_try_at_ms bigint, error text, data text)
  LOOP
    UPDATE notice SET
      status = CASE d.status WHEN 'untried' THEN status ELSE d.status END,
      sent_at_ms = CASE d.status WHEN 'sent' THEN d.at_ms ELSE sent_at_ms END,
      receipt = CASE d.status WHEN 'sent' THEN d.receipt ELSE receipt END,
      next_try_at_ms = CASE d.status WHEN 'pending' THEN d.next_try_at_ms ELSE next_try_at_ms END,
      last_error = CASE WHEN d.status IN ('sent', 'untried') THEN last_error ELSE d.error END,
      data = CASE d.status WHEN 'pending' THEN coalesce(d.data, data) ELSE data END,
      -- What was given up before an attempt counts as none.
      attempts = attempts + CASE WHEN d.status IN ('sent', 'pending', 'failed') THEN 1 ELSE 0 END,
      lease_owner = NULL,
      lease_until_ms = 0
    WHERE key = d.key AND CASE d.status
      WHEN 'untried' THEN true WHEN 'sent' THEN status <> 'sent' ELSE status = 'pending' END;
  END LOOP;
END
$$;

CREATE FUNCTION purge_trip(p_trip text, p_at_ms bigint) RETURNS bigint LANGUAGE plpgsql AS $$
DECLARE
  v_changed bigint := pg_current_xact_id()::text::bigint;
BEGIN
  PERFORM 1 FROM trip WHERE id = p_trip FOR NO KEY UPDATE;
  DELETE FROM event WHERE trip = p_trip;
  DELETE FROM answer WHERE trip = p_trip;
  DELETE FROM deadline WHERE trip = p_trip;
  DELETE FROM notice WHERE trip = p_trip;
  DELETE FROM member WHERE trip = p_trip;
  DELETE FROM board WHERE trip = p_trip;
  DELETE FROM fact WHERE right(name, length(p_trip) + 1) = ':' || p_trip;
  UPDATE trip SET status = 'purged', name = '', channel = '', guild = NULL, seq = 0,
    changed = v_changed, purged_at_ms = coalesce(purged_at_ms, p_at_ms) WHERE id = p_trip;
  RETURN v_changed;
END
$$;

-- The server's clock, in whole milliseconds.
CREATE FUNCTION now_ms() RETURNS bigint LANGUAGE sql VOLATILE AS $$
  SELECT floor(extract(epoch FROM clock_timestamp()) * 1000)::bigint
$$;
`,
};
