/** A long record is read in pages between which others have their turn, and still as it was at one moment. */
import { describe, expect, it } from 'vitest';
import type { TripRow } from '../../src/store/port.ts';
import type { EventSql } from '../../src/store/rows.ts';
import { tripsAbout } from '../../src/store/sqlite/about.ts';
import { inPages, type PageReads } from '../../src/store/sqlite/pages.ts';

const alone = async <R>(work: () => R): Promise<R> => work();
const dataOf = (row: EventSql) => row.data;

/** A record of so many entries, and the bounds of what was read of it. */
function stored(entries: number) {
  const rows = Array.from({ length: entries }, (_, i) => ({ seq: i + 1, data: `${i + 1}` }));
  const asked: (number | undefined)[] = [];
  const read: PageReads = {
    entries: (_trip, afterSeq, most) => {
      asked.push(most);
      const upTo = most === undefined ? rows.length : afterSeq + most;
      return rows.slice(afterSeq, upTo) as EventSql[];
    },
    lastSeq: () => rows.length,
  };
  /** Erases an entry as the store does: its words go, and an entry says so. */
  const erase = (seq: number) => {
    rows[seq - 1] = { seq, data: 'erased' };
    rows.push({ seq: rows.length + 1, data: `${seq} was erased` });
  };
  return { rows, read, asked, erase };
}

describe('a record in pages', () => {
  it.each([0, 1, 499, 500, 501, 1000, 1234])('has each of %i entries once', async (entries) => {
    const { rows, read } = stored(entries);
    expect(await inPages(read, alone, 't', 0, dataOf)).toEqual(rows.map((r) => r.data));
    const tail = await inPages(read, alone, 't', 400, dataOf);
    expect(tail).toEqual(rows.slice(400).map((r) => r.data));
  });

  it('lets others have their turn between two pages', async () => {
    const { read } = stored(2000);
    let [pages, pagesThen] = [0, 0];
    setImmediate(() => {
      pagesThen = pages;
    });
    const counted = async <R>(work: () => R): Promise<R> => {
      pages++;
      return work();
    };
    await inPages(read, counted, 't', 0, dataOf);
    expect([pages, pagesThen]).toEqual([5, 1]);
  });

  it('holds nothing that was erased while it was read', async () => {
    const { rows, read, erase } = stored(1200);
    let reads = 0;
    const meanwhile = async <R>(work: () => R): Promise<R> => {
      const value = work();
      if (++reads === 2) erase(7);
      return value;
    };
    const all = await inPages(read, meanwhile, 't', 0, dataOf);
    expect(all).toEqual(rows.map((r) => r.data));
    expect(all).not.toContain('7');
  });

  it('is read in one piece at last when it is written to all the time', async () => {
    const { rows, read, asked, erase } = stored(1200);
    let seq = 0;
    const always = async <R>(work: () => R): Promise<R> => {
      const value = work();
      if (asked.at(-1) !== undefined) erase(++seq);
      return value;
    };
    expect(await inPages(read, always, 't', 0, dataOf)).toEqual(rows.map((r) => r.data));
    expect(asked.at(-1)).toBeUndefined();
  });
});

describe('what is kept about somebody', () => {
  it('is looked for one trip a turn, and comes newest first', async () => {
    const all = Array.from({ length: 30 }, (_, i) => ({ id: `t${i}` }) as TripRow);
    let [looked, lookedThen] = [0, 0];
    setImmediate(() => {
      lookedThen = looked;
    });
    const read = {
      newestFirst: () => all,
      isAbout: (trip: string, user: string) => {
        looked += 1;
        return user === 'mara' && ['t3', 't20'].includes(trip);
      },
    };
    expect((await tripsAbout(read, alone, 'mara')).map(({ id }) => id)).toEqual(['t3', 't20']);
    expect([looked, lookedThen]).toEqual([30, 1]);
  });
});
