/** The watch's parts for a unit test: one trip in a store that only remembers what was fired. */

import type { WatchParts } from '../../src/delivery/ports.ts';
import { NO_COUNTERS } from '../../src/delivery/ports.ts';
import type { Store } from '../../src/store/port.ts';
import type { Story } from '../alarm/trip.ts';
import { quietRecords } from '../chat/fakes.ts';
import { ManualClock } from '../helpers/clock.ts';

type Fire = Parameters<Store['fire']>[0];

export interface Unit {
  parts: WatchParts;
  clock: ManualClock;
  /** What was asked of the store, oldest first. */
  fired: Fire[];
}

/** `story` is the trip's record; what is fired joins it. */
export function unit(story: Story, nowMs: number, ways: WatchParts['ways'] = {}): Unit {
  const clock = new ManualClock();
  clock.set(nowMs);
  const fired: Fire[] = [];
  const store: Partial<Store> = {
    async trip(id) {
      if (id !== story.trip) return undefined;
      const seq = story.events.length;
      return { id, channel: 'wall', status: 'open', seq } as never;
    },
    async events(_trip, afterSeq = 0) {
      return story.events.slice(afterSeq);
    },
    async fire(fire) {
      fired.push(fire);
      for (const { kind, data } of fire.append?.events ?? []) {
        story.tell({ kind, data: data as object, told: fire.atMs, by: 'tagline' });
      }
      return 'fired';
    },
  };
  const parts: WatchParts = {
    store: store as Store,
    clock,
    log: { info() {}, warn() {}, error() {} } as unknown as WatchParts['log'],
    ways,
    records: quietRecords(store as Store),
    organizer: 'watch@example.org',
    owner: 'here/1/1',
    counters: NO_COUNTERS,
  };
  return { parts, clock, fired };
}
