import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { gunzipSync } from 'node:zlib';
import { afterAll, beforeAll, describe, expect, it, onTestFinished } from 'vitest';
import { followChain } from '../../../src/record/chain.ts';
import { move } from '../../../src/run/database.ts';
import { readSettings } from '../../../src/settings.ts';
import type { Store } from '../../../src/store/port.ts';
import { openPostgresStore } from '../../../src/store/postgres/open.ts';
import { openSqliteStore } from '../../../src/store/sqlite/store.ts';
import { postgresPrograms, type Server, startServer } from '../../helpers/postgres.ts';
import { append, DAWN_MS, event, notice, open, tempFolder } from '../help.ts';

const programs = postgresPrograms();
const FIXTURE = join(import.meta.dirname, '../fixtures/release-0.1.db.gz');

describe.runIf(programs !== undefined)('a database is moved', () => {
  let server: Server;
  beforeAll(async () => {
    server = await startServer(programs ?? '');
  });
  afterAll(() => server.remove());

  const inFolder = (folder: string, url: string) =>
    readSettings({ TAGLINE_DATA: folder, TAGLINE_DATABASE_URL: url });

  /** All that anybody can ask of a store, in one value. */
  async function everything(store: Store) {
    const rows = await store.openTrips();
    const all = [...rows.map((r) => r.id), 't0000002', 'tgone'];
    const trips = await Promise.all(
      all.map(async (id) => ({
        row: await store.trip(id),
        sealed: await store.sealed(id),
        notices: await store.notices(id),
        rung: (await store.rung(id)).map((d) => d.key).sort(),
        board: await store.board(id),
        answer: await store.answered(`${id}-i1`),
      })),
    );
    const due = await store.due(Number.MAX_SAFE_INTEGER, 10_000);
    const mine = (await store.openTripsOf('u-mara')).map((t) => t.id);
    return { rows, trips, due, mine, fact: await store.getFact('installation') };
  }

  /** A file of the first release with what later ones add. */
  async function filled(folder: string): Promise<unknown> {
    const path = join(folder, 'tagline.db');
    writeFileSync(path, gunzipSync(readFileSync(FIXTURE)));
    const store = openSqliteStore({ path });
    await open(store, 't1', {
      deadlines: [
        { key: 'down', dueAtMs: DAWN_MS, data: { odd: 'a\u0000b' } },
        { key: 'topout', dueAtMs: DAWN_MS, data: null },
      ],
      notices: [notice('t1', 'n1'), notice('t1', 'n2', { expiresAtMs: DAWN_MS })],
    });
    for (let seq = 1; seq < 700; seq += 233) {
      const events = Array.from({ length: 233 }, (_, i) => event('t1', seq + 1 + i));
      await store.append(append('t1', seq, { ...TWO_DUE, events }));
    }
    await store.fire({ trip: 't1', keys: ['down'], atMs: DAWN_MS, notices: [] });
    await store.recordDeliveries([
      { key: 'n1', atMs: DAWN_MS, outcome: { status: 'sent', receipt: 'm' } },
    ]);
    await store.setBoard('t1', {
      posts: 1,
      message: { channel: 'c', message: 'm' },
      pinned: true,
      wanted: true,
      shown: { by: 'x', atMs: DAWN_MS, seq: 1 },
    });
    await store.setFact('installation', 'here');
    await open(store, 'tgone');
    await store.purge('tgone', DAWN_MS);
    const before = await everything(store);
    await store.close();
    return before;
  }
  const TWO_DUE = {
    deadlines: ['down', 'topout'].map((key) => ({ key, dueAtMs: DAWN_MS, data: { key } })),
  };

  it('there and back, and everything is as it was', async () => {
    const [folder, back] = [tempFolder(), tempFolder()];
    const before = await filled(folder);
    const url = await server.database();
    expect(await move(inFolder(folder, url), 'to-postgres')).toMatch(
      /^Copied and compared: \d+ trip, \d+ event, .* fact\.\nStart with TAGLINE_DATABASE_URL/u,
    );
    const there = await openPostgresStore({ url });
    onTestFinished(() => there.close());
    expect(await everything(there)).toEqual(before);
    const sealed = await there.sealed('t1');
    expect((await followChain(sealed, 700)).holds).toBe(true);
    // It is a store like any other: it goes on where the other had stopped.
    expect(await there.append(append('t1', 700, TWO_DUE))).toEqual({ ok: true, seq: 701 });
    const after = await everything(there);
    const copy = join(back, 'copy.db');
    await there.backup(copy);
    expect(await move(inFolder(back, url), 'to-file')).toMatch(
      /Start without TAGLINE_DATABASE_URL/u,
    );
    for (const path of [copy, join(back, 'tagline.db')]) {
      const store = openSqliteStore({ path });
      onTestFinished(() => store.close());
      expect(await everything(store)).toEqual(after);
      expect((await followChain(await store.sealed('t1'), 701)).holds).toBe(true);
    }
  });

  it('not onto another, not from under a running bot', async () => {
    const folder = tempFolder();
    await filled(folder);
    const url = await server.database();
    const path = join(folder, 'tagline.db');
    const running = openSqliteStore({ path });
    await running.hold('process:here/1/1', 'here/1/1', 3_600_000);
    await expect(move(inFolder(folder, url), 'to-postgres')).rejects.toThrow(/in use by a running/);
    await running.releaseLeases('here/1/1');
    await running.close();
    await move(inFolder(folder, url), 'to-postgres');
    await expect(move(inFolder(folder, url), 'to-postgres')).rejects.toThrow(/trips in it already/);
    await expect(move(inFolder(folder, url), 'to-file')).rejects.toThrow(/is there already/);
    const there = await openPostgresStore({ url });
    await there.hold('process:x', 'x', 3_600_000);
    const empty = tempFolder();
    await expect(move(inFolder(empty, url), 'to-file')).rejects.toThrow(/in use by a running/);
    await there.close();
    expect(existsSync(join(empty, 'tagline.db'))).toBe(false);
    await expect(move(inFolder(empty, url), 'to-postgres')).rejects.toThrow(/There is no/);
    await expect(move(readSettings({ TAGLINE_DATA: folder }), 'to-file')).rejects.toThrow(
      /TAGLINE_DATABASE_URL/,
    );
  });
});
