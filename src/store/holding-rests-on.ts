import type { Store } from './port.ts';

type Fire = Parameters<Store['fire']>[0];

/**
 * Whether the change that a firing was decided on is there. What was decided on one that could not be written is to
 * be decided anew.
 *
 * @param held events that are told and not written, with a higher number than `afterSeq`
 */
export async function restsOnKnown(
  { trip, append }: Fire,
  store: Pick<Store, 'events'>,
  held: (trip: string, afterSeq: number) => readonly { id: string }[],
): Promise<boolean> {
  if (append?.afterId === undefined) return true;
  const from = append.afterSeq - 1;
  const events = [...(await store.events(trip, from)), ...held(trip, from)];
  return events.at(-1)?.id === append.afterId;
}
