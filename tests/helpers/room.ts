import { statfsSync } from 'node:fs';
import { tmpdir } from 'node:os';

/** Memory shown as files on Linux; a database there isn't held up by a disk's syncs. */
const MEMORY = '/dev/shm';
const ENOUGH_BYTES = 2 ** 30;

/** Where tests keep their small files: in memory where there is plenty, else where the system keeps temporary files. */
export const ROOM = hasRoom(MEMORY) ? MEMORY : tmpdir();

function hasRoom(folder: string): boolean {
  try {
    const { bavail, bsize } = statfsSync(folder);
    return bavail * bsize > ENOUGH_BYTES;
  } catch {
    return false;
  }
}
