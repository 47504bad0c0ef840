import type { Append, AppendResult, Store } from '../store/port.ts';

/** What became of an append: `already` when the trip is gone, or another was first with the deadlines. */
export type Stored = 'stored' | 'conflict' | 'already' | { answer: unknown };

/**
 * Appends; together with the end of the deadlines that have rung, where there are any. Where those call for no entry
 * the deadlines are still set anew: the next may follow from the one that rang.
 */
export async function storeChange(
  store: Store,
  append: Append,
  rung: readonly string[] | undefined,
  atMs: number,
): Promise<Stored> {
  if (rung === undefined) return resultOf(await store.append(append));
  const { trip, afterSeq, notices, events } = append;
  const [first] = rung;
  const result = await store.fire({
    trip,
    keys: rung,
    atMs,
    notices,
    ...(events.length === 0 && first === undefined
      ? { afterSeq }
      : {
          append: {
            ...append,
            // The writer's key is that of the entry to come; without one it is that of what rang.
            key: events.length > 0 ? append.key : `${trip}/${afterSeq}/${atMs}/${first}`,
            notices: [],
          },
        }),
  });
  return result === 'fired' ? 'stored' : result;
}

function resultOf(result: AppendResult): Stored {
  if (result.ok) return 'stored';
  if (result.why === 'conflict') return 'conflict';
  // Erased since it was read.
  if (result.why === 'no-trip') return 'already';
  if (result.why === 'repeated') return { answer: result.answer };
  throw new Error(`append refused: ${result.why}`);
}
