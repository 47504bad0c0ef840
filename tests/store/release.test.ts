/** A file of release 0.1 is read for ever; tests/store/fixtures/README.md says how it was made. */

import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { gunzipSync } from 'node:zlib';
import { beforeEach, describe, expect, onTestFinished, test } from 'vitest';
import type { Loaded, Records } from '../../src/record/records.ts';
import type { Store } from '../../src/store/port.ts';
import { fold } from '../../src/trip/fold.ts';
import { KIND_NAMES, kindOf } from '../../src/trip/kinds/index.ts';
import { modeOf } from '../../src/trip/mode.ts';
import { readFact, readFacts } from '../../src/trip/read.ts';
import { leads } from '../../src/trip/rotation.ts';
import type { TripState } from '../../src/trip/state.ts';
import { quietRecords } from '../chat/fakes.ts';
import { instant, ZONE } from '../helpers/world.ts';
import { storeAt, tempFolder } from './help.ts';

const FIXTURE = join(import.meta.dirname, 'fixtures', 'release-0.1.db.gz');
const [TOWER, SLAB] = ['t0000002', 't0000105'];

let store: Store;
let records: Records;
beforeEach(() => {
  const path = join(tempFolder(), 'trips.db');
  writeFileSync(path, gunzipSync(readFileSync(FIXTURE)));
  store = storeAt(path).store;
  records = quietRecords(store);
});

async function trip(id: string): Promise<Loaded> {
  const loaded = await records.load(id);
  if (loaded === undefined) throw new Error(`no trip ${id}`);
  return loaded;
}

const at = (local: string) => instant(ZONE, local);
const done = (state: TripState) =>
  state.pitches.flatMap((p) => (p.done === undefined ? [] : [[p.number, p.done.leader]]));
const names = (state: TripState) => leads(state).map((l) => l.leader);

describe('every entry is read as strictly as it is written today', () => {
  test.each([
    [TOWER, 46],
    [SLAB, 76],
  ])('%s', async (id, count) => {
    const raws = await store.events(id);
    expect(raws.map((r) => r.seq)).toEqual(Array.from({ length: count }, (_, i) => i + 1));
    const read = readFacts(raws);
    if (!read.ok) throw new Error(`entry ${read.seq}: ${read.why}`);
    // What is read is in today's form: reading it again changes nothing, an `upcast` included.
    expect(readFacts(read.value)).toEqual(read);
    expect((await trip(id)).state).toEqual(fold(id, read.value));
  });

  test('of every kind that the release could write', async () => {
    const raws = [...(await store.events(TOWER)), ...(await store.events(SLAB))];
    const held = new Set(raws.map((r) => r.kind));
    // Kinds of later releases join this list; each of those has its own file.
    expect(KIND_NAMES.filter((name) => !held.has(name))).toEqual([
      ...['lead.styled', 'lead.roped', 'rope.done', 'plan.start', 'plan.chosen', 'pace.taken'],
      ...['rain.dry', 'weather.told', 'kit.told', 'wait.began', 'wait.ended'],
      ...['retreat.began', 'retreat.rappelled', 'retreat.stopped', 'descent.reached'],
      ...['party.split', 'party.joined', 'party.out'],
      'shuttle.removed',
      ...['trouble.reported', 'trouble.updated', 'trouble.over'],
      ...['watch.asked', 'watch.agreed', 'watch.stooddown'],
      ...['contact.asked', 'contact.answered', 'contact.leaving'],
      ...['contact.device', 'contact.lost', 'mail.received'],
      ...['log.imported', 'log.erased'],
    ]);
  });
});

// What follows is what the release itself said while it played the scripts.
test('the closed trip: fourteen pitches in two days, one night, down, nobody alarmed any more', async () => {
  const { row, state } = await trip(TOWER);
  expect([row.name, row.status, modeOf(state, Date.UTC(2031, 6, 3)).is]).toEqual([
    'Harrow Tower',
    'closed',
    'closed',
  ]);
  const led = 'mara jonas ines mara mara jonas ines mara jonas ines mara jonas ines mara'.split(
    ' ',
  );
  expect(done(state)).toEqual(led.map((who, i) => [i + 1, who]));
  expect(names(state)).toEqual(led);
  // Told at 18:40, amended to 18:20; told at 14:10 and struck.
  expect(state.pitches[7]?.done?.atMs).toBe(at('2031-06-12 18:20'));
  expect(state.nights).toMatchObject([
    {
      pitch: 10,
      sinceMs: at('2031-06-12 20:40'),
      untilMs: at('2031-06-13 05:30'),
      leftMs: at('2031-06-13 05:50'),
    },
  ]);
  expect(state.downAtMs).toBe(at('2031-06-13 19:30'));
  expect(state.watch.plan).toEqual({
    downMs: at('2031-06-13 18:00'),
    calloutMs: at('2031-06-13 22:00'),
  });
  expect(state.watch.raised.map((r) => r.phase)).toEqual(['due', 'uncertainty']);
});

test('the open trip: who leads what, pitches, nights, promises, the alarm and who was told', async () => {
  const { row, state } = await trip(SLAB);
  expect([row.name, row.status, modeOf(state, Date.UTC(2031, 6, 3)).is]).toEqual([
    'Lantern Slab',
    'open',
    'climbing',
  ]);
  expect([state.units, state.pitches.length]).toEqual(['ft', 13]);
  expect(state.pitches[1]).toMatchObject({
    lengthM: 130 * 0.3048,
    note: 'loose block at the start',
  });
  expect(done(state)).toEqual([
    [1, 'mara'],
    [2, 'ines'],
    [3, 'ines'],
    [4, 'jonas'],
    [5, 'ines'],
    [6, 'ines'],
  ]);
  // Blocks of two; 7 and 9 were swapped by hand, 9 and 10 are linked.
  expect(names(state).slice(6)).toEqual('jonas jonas mara mara ines ines jonas'.split(' '));
  expect([[...state.links], state.bivyPlan]).toEqual([[9], []]);
  expect(state.breaks).toMatchObject([{ pitch: 3, toMs: at('2031-07-02 08:50') }]);
  expect(state.rains).toEqual([{ fromMs: at('2031-07-02 10:50'), toMs: at('2031-07-02 11:40') }]);
  expect(state.nights).toMatchObject([{ pitch: 5, leftMs: at('2031-07-03 05:40') }]);
  const { plan, promises, nightly, raised, acks, unreached, called } = state.watch;
  expect(plan).toEqual({
    topoutMs: at('2031-07-03 15:00'),
    downMs: at('2031-07-03 18:00'),
    calloutMs: at('2031-07-03 23:00'),
  });
  expect(promises).toMatchObject([{ dueMs: at('2031-07-02 12:00') }]);
  expect(nightly?.clock).toBeDefined();
  expect(raised.at(-1)).toMatchObject({ phase: 'distress', to: ['@field', 'pal', 'dana'] });
  expect(acks.at(-1)?.person).toBe('dana');
  expect(new Set(unreached.map((u) => u.person))).toEqual(new Set(['pal']));
  expect(called).toHaveLength(1);
});

describe('an older form of a kind', () => {
  const head = {
    trip: 't',
    seq: 1,
    id: 'e1',
    atMs: 0,
    recordedAtMs: 0,
    by: { id: 'u', name: 'U' },
    kind: 'bivy.planned',
  };

  test('is brought up to date before it is checked; today’s is left alone', () => {
    const kind = kindOf('bivy.planned');
    const older = { ...head, data: { after: 5 } };
    expect(readFact(older)).toMatchObject({ ok: false });
    // As if an older release had called the field `after`.
    kind.upcast = (data) => {
      const { after, ...rest } = data as { after?: unknown };
      return after === undefined ? data : { ...rest, pitch: after };
    };
    onTestFinished(() => {
      delete kind.upcast;
    });
    expect(readFact(older)).toEqual({ ok: true, value: { ...head, data: { pitch: 5 } } });
    const today = { ...head, data: { pitch: 7 } };
    expect(readFact(today)).toEqual({ ok: true, value: today });
    // What comes of it is held to the shape like anything else.
    expect(readFact({ ...head, data: { after: 'five' } })).toMatchObject({ ok: false });
    expect(readFact({ ...head, data: { after: 5, colour: 'red' } })).toMatchObject({ ok: false });
  });
});
