import type { App } from './app.ts';

const FACT = 'installation';

/**
 * The name of this installation among all others: random, made when it is first needed, and kept with the
 * trips, so that it stays the same on another machine. Two processes that make it at once end with one.
 */
export async function installation({ store, ids }: Pick<App, 'store' | 'ids'>): Promise<string> {
  const kept = await store.getFact(FACT);
  if (kept !== undefined) return kept;
  await store.swapFact(FACT, undefined, ids.event());
  return (await store.getFact(FACT)) as string;
}
