import { readdirSync, readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { expect, it } from 'vitest';
import { append, DAWN_MS, event, notice, open, storeAt } from './help.ts';

/** Files beside the database, its log included, in which the text stands as raw bytes. */
function filesWith(path: string, text: string): string[] {
  const folder = dirname(path);
  return readdirSync(folder).filter((name) => readFileSync(join(folder, name)).includes(text));
}

it('takes a trip out of the bytes of the file and of its log, and nothing of the others', async () => {
  const { store, path } = storeAt();
  const trips = Array.from({ length: 24 }, (_, i) => `t${i}x`);
  // Told turn about and in uneven sizes, so that pages are split and cells are moved about.
  for (const trip of trips) await open(store, trip, planted(trip, 0));
  for (let seq = 1; seq < 40; seq++) {
    await Promise.all(trips.map((trip) => store.append(append(trip, seq, planted(trip, seq)))));
  }
  const gone = trips.filter((_, i) => i % 3 === 0);
  for (const trip of gone) await store.setFact(`board:${trip}`, `Mara-${trip}`);
  for (const trip of trips) expect(filesWith(path, `Mara-${trip}`)).not.toEqual([]);

  for (const trip of gone) await store.purge(trip, DAWN_MS);
  for (const trip of trips) {
    for (const text of [`Mara-${trip}`, `+47-${trip}`, `u-${trip}-dana`]) {
      expect([text, filesWith(path, text).length > 0]).toEqual([text, !gone.includes(trip)]);
    }
  }
  for (const trip of gone) {
    expect(await store.trip(trip)).toEqual({
      id: trip,
      channel: '',
      name: '',
      status: 'purged',
      seq: 0,
      openedAtMs: DAWN_MS,
    });
    expect(await store.events(trip)).toEqual([]);
    expect(await store.notices(trip)).toEqual([]);
    expect(await store.answered(`${trip}-i1`)).toBeUndefined();
    expect(await store.getFact(`board:${trip}`)).toBeUndefined();
    expect(await store.append(append(trip, 0))).toEqual({ ok: false, why: 'no-trip' });
  }
  for (const trip of trips.filter((t) => !gone.includes(t))) {
    expect(await store.events(trip)).toHaveLength(40);
    expect(await store.notices(trip)).toHaveLength(40);
  }
  // Asked again, and of a trip that never was: nothing happens.
  await store.purge('t0x', DAWN_MS + 1);
  await store.purge('never', DAWN_MS);
});

it('gives the channel free, and still does its work while a copy is being made', async () => {
  const { store, path } = storeAt();
  await open(store, 't1', planted('t1', 0), 'wall');
  await Promise.all([store.backup(`${path}.copy`), store.purge('t1', DAWN_MS)]);
  expect(await store.openTripIn('wall')).toBeUndefined();
  expect(await store.lastTripIn('wall')).toBeUndefined();
  expect(filesWith(path, 'Mara-t1').filter((name) => !name.endsWith('.copy'))).toEqual([]);
  expect(await open(store, 't2', {}, 'wall')).toEqual({ ok: true, seq: 1 });
});

function planted(trip: string, seq: number) {
  const { seq: _, ...posted } = event(trip, seq + 1, {
    by: { id: `u-${trip}-dana`, name: `Mara-${trip}` },
    data: { phone: `+47-${trip}`, note: 'x'.repeat(seq % 7 === 0 ? 5000 : (seq * 37) % 400) },
  });
  return {
    name: `Harrow Tower with Mara-${trip}`,
    events: [posted],
    answer: `Mara-${trip} was told`,
    members: [`u-${trip}-dana`, `u-${trip}-${seq}`],
    deadlines: [{ key: 'down', dueAtMs: DAWN_MS + seq, data: `+47-${trip}` }],
    notices: [notice(trip, `${trip}-n${seq}`, { data: { phone: `+47-${trip}` } })],
  };
}
