import type { App } from '../app.ts';

/**
 * Erases a trip with everything that is kept of it.
 *
 * @returns false when its board may still stand in the chat
 */
export async function eraseTrip(
  app: Pick<App, 'board' | 'store' | 'records' | 'changes'>,
  trip: string,
  nowMs: number,
): Promise<boolean> {
  // Before the record, which knows where it stands.
  const unpinned = (await app.board?.remove(trip)) ?? true;
  await app.store.purge(trip, nowMs);
  app.records.forget(trip);
  app.changes.tell(trip);
  return unpinned;
}
