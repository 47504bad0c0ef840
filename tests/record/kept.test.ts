import { expect, test } from 'vitest';
import { KeptTrips } from '../../src/record/kept.ts';
import type { Loaded } from '../../src/record/writing.ts';
import type { Fact } from '../../src/trip/fact.ts';
import { folded, foldOn } from '../../src/trip/fold.ts';
import { opened } from '../alarm/trip.ts';

const word = (seq: number, length: number) =>
  ({
    ...{ trip: 't', seq, id: `e${seq}`, kind: 'watch.ok', atMs: seq, recordedAtMs: seq },
    by: { id: 'u-mara', name: 'Mara' },
    data: { how: 'radio', words: 'x'.repeat(length) },
  }) as Fact;

function trip(id: string): Loaded {
  const { events } = opened(id);
  const row = { id, channel: `c-${id}`, name: id, status: 'open', seq: 1, openedAtMs: 0 } as const;
  return { ...folded(id, events), row };
}

const keeps = (kept: KeptTrips, ids: readonly string[]) =>
  ids.filter((id) => kept.get(id) !== undefined);

test('trips are kept up to a bound in bytes; those asked for longest ago go', () => {
  const ids = ['a', 'b', 'c', 'd'];
  const kept = new KeptTrips(100_000);
  for (const id of ids) kept.put(trip(id));
  const fit = keeps(kept, ids);
  expect(fit.length).toBeGreaterThan(1);
  expect(fit.length).toBeLessThan(4);
  expect(fit).toEqual(ids.slice(-fit.length));
  // Asked for again, it is the last to go.
  const [oldest = '', ...newer] = fit;
  kept.put(kept.get(oldest) as Loaded);
  kept.put(trip('e'));
  expect(kept.get(oldest)).toBeDefined();
  expect(kept.get(newer[0] ?? '')).toBeUndefined();
});

test('what is told since counts, however it came; the one in hand stays whatever it takes', () => {
  const kept = new KeptTrips(100_000);
  kept.put(trip('a'));
  let long = trip('b');
  kept.put(long);
  for (let n = 0; n < 150; n++) {
    long = { ...long, ...foldOn(long, [word(long.state.seq + 1, 300)]) };
    kept.put(long);
  }
  expect(keeps(kept, ['a', 'b'])).toEqual(['b']);
  kept.drop('b');
  for (const id of ['c', 'd']) kept.put(trip(id));
  expect(keeps(kept, ['c', 'd'])).toEqual(['c', 'd']);
});
