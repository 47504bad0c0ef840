import { z } from 'zod';
import type { Store } from '../../store/port.ts';

/** What is kept of a trip's board. */
const boardFact = z.strictObject({
  /** Boards posted so far: makes the nonce of the next, kept before it is sent. */
  posts: z.int().min(0),
  message: z.strictObject({ channel: z.string(), message: z.string() }).optional(),
  pinned: z.boolean(),
});

export type BoardFact = z.infer<typeof boardFact>;

/** Ends in the trip's id, so that purging a trip takes it along. */
const nameOf = (trip: string) => `board:${trip}`;
const LIST = 'boards';

export async function readBoard(store: Store, trip: string): Promise<BoardFact | undefined> {
  const text = await store.getFact(nameOf(trip));
  return text === undefined ? undefined : boardFact.parse(JSON.parse(text));
}

export async function writeBoard(store: Store, trip: string, fact: BoardFact): Promise<void> {
  await store.setFact(nameOf(trip), JSON.stringify(fact));
}

/** Trips with a board that is still kept up, for after a restart. */
export async function listBoards(store: Store): Promise<string[]> {
  const text = await store.getFact(LIST);
  return text === undefined ? [] : z.array(z.string()).parse(JSON.parse(text));
}

export async function writeBoardList(store: Store, trips: readonly string[]): Promise<void> {
  await store.setFact(LIST, trips.length === 0 ? undefined : JSON.stringify(trips));
}
