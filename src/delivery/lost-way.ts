import { waysSaid } from '../alarm/consent.ts';
import { deadlinesOf } from '../alarm/deadlines.ts';
import { type NoticeData, newNotice } from '../alarm/notice.ts';
import { FIELD, reachable } from '../alarm/who.ts';
import { SELF } from '../record/self.ts';
import { personById } from '../trip/state.ts';
import type { Consent } from '../trip/watch-state.ts';
import type { WatchParts } from './ports.ts';

/** One way to one person that does not work any more, and why in a word. */
export interface LostWay extends Pick<Consent, 'person' | 'way' | 'to'> {
  why: string;
}

/** Writes down that a way has ended. The party is told, and by another way the contact. */
export async function wayLost(parts: WatchParts, trip: string, lost: LostWay): Promise<void> {
  const nowMs = parts.clock.wallMs();
  await parts.records.write({
    trip,
    key: ({ state }) => `watch/${state.id}/${state.seq + 1}/lost/${lost.way}/${lost.to}`,
    nowMs,
    by: SELF,
    rung: [],
    decide: ({ state }) => {
      const { person, way, to, why } = lost;
      const there =
        way !== 'push' || state.watch.devices.some((d) => d.person === person && d.to === to);
      if (state.closedAtMs !== undefined || !there) return [];
      return [{ kind: 'contact.lost', data: { person, way, to, why: why.slice(0, 60) } }];
    },
    derive: ({ after, events }) => ({
      deadlines: deadlinesOf(after, nowMs),
      notices: events.flatMap(({ seq }) =>
        [
          FIELD,
          ...reachable(after)
            .filter((p) => p.id === lost.person)
            .map((p) => p.id),
        ].map((to) => newNotice(trip, to, { kind: 'lost', seq }, nowMs)),
      ),
    }),
  });
}

/** A rehearsal came by other ways, and by this one it can't. */
export async function rehearsedInVain(
  parts: WatchParts,
  trip: string,
  { to: id, progress }: NoticeData,
  why: string,
): Promise<void> {
  const loaded = await parts.records.load(trip);
  const person = loaded && personById(loaded.state, id);
  if (loaded === undefined || person === undefined) return;
  const way = waysSaid(loaded.state, person, 'yes').find((w) => w.way === progress.only);
  // A browser that is gone was said to be so already.
  if (way === undefined || way.way === 'push') return;
  await wayLost(parts, trip, { ...way, why });
}
