import { existsSync } from 'node:fs';
import type { App } from '../app/app.ts';
import { dropFiles, filesFolder } from '../chat/local/kept-files.ts';

/**
 * With a trip go the files that answers about it left, whoever erases it and however the bot runs; resolves
 * what is under way when it is called.
 */
export function dropWithTrips(
  { changes, store, log }: Pick<App, 'changes' | 'store' | 'log'>,
  dataDir: string,
): () => Promise<void> {
  let under: Promise<void> = Promise.resolve();
  const look = async (trip: string) => {
    const row = await store.trip(trip);
    if (row === undefined || row.status === 'purged') dropFiles(dataDir, trip);
  };
  const deaf = changes.listen((trip) => {
    if (!existsSync(filesFolder(dataDir, trip))) return;
    under = under
      .then(() => look(trip))
      .catch((error: unknown) => {
        log.error({ err: error, trip }, 'files of an erased trip could not be removed');
      });
  });
  return async () => {
    deaf();
    await under;
  };
}
