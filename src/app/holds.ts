import { type Store, StoreError } from '../store/port.ts';
import { UNWRITABLE } from '../store/unwritable.ts';
import type { Clock } from '../time/clock.ts';

/** A name is held for so long at a time, and asked for again so often. */
export const HOLD_MS = 20_000;
const RENEW_MS = 5_000;
/** So long before its end a hold that could not be renewed is taken for lost. */
const MARGIN_MS = 3_000;

export interface Holder {
  store: Pick<Store, 'hold' | 'letGo'>;
  clock: Clock;
  /** This process's name among those on the same database. */
  owner: string;
}

/**
 * Does something that only one process may do at a time, under a name that stands for it. The hold
 * is renewed until the work is done; `lost` aborts when it could not be, before anybody else can have it.
 *
 * @returns undefined, with nothing done, when another process holds the name
 */
export async function whileHeld<T>(
  holder: Holder,
  name: string,
  work: (lost: AbortSignal) => Promise<T>,
): Promise<{ value: T } | undefined> {
  const { store, clock, owner } = holder;
  let untilMono = clock.monoMs() + HOLD_MS;
  if (!(await ask(holder, name))) return undefined;
  const [done, lost] = [new AbortController(), new AbortController()];
  const renewing = (async () => {
    for (;;) {
      await clock.sleep(RENEW_MS, done.signal);
      if (done.signal.aborted) return;
      const askedMono = clock.monoMs();
      const held = await ask(holder, name).catch(() => undefined);
      if (held === true) untilMono = askedMono + HOLD_MS;
      if (held === false || clock.monoMs() > untilMono - MARGIN_MS) return lost.abort();
    }
  })();
  try {
    return { value: await work(lost.signal) };
  } finally {
    done.abort();
    await renewing;
    // Where it can't be given back it ends by itself.
    await store.letGo(name, owner).catch(() => undefined);
  }
}

async function ask({ store, owner }: Holder, name: string): Promise<boolean> {
  try {
    return await store.hold(name, owner, HOLD_MS);
  } catch (error) {
    // While nothing can be written, nobody else can take a hold either.
    if (error instanceof StoreError && UNWRITABLE.has(error.code)) return true;
    throw error;
  }
}
