import type { App } from '../../app/app.ts';
import type { TripState } from '../../trip/state.ts';

/** Who opened it isn't known: everybody with the link is the page. */
const READER = { id: 'page', name: 'the page' };

/**
 * Writes into the trip's record that the sheet was opened by way of the page, and gives the state it
 * is to be made from; undefined when the trip was erased. A change without a member behind it: the
 * link is what allows it.
 */
export async function recordOpening(
  app: App,
  trip: string,
  nowMs: number,
): Promise<TripState | undefined> {
  const written = await app.records.write({
    trip,
    key: `page:${app.ids.event()}`,
    nowMs,
    by: READER,
    decide: () => [{ kind: 'watch.sheet', data: { as: 'print' } }],
  });
  switch (written.outcome) {
    case 'written':
      return written.after;
    case 'nothing':
      // It was opened a moment ago, which stands in the record.
      return written.before;
    case 'refused':
      // Closed since: the sheet is read as it is.
      return written.loaded.state;
    default:
      return undefined;
  }
}
