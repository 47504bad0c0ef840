import { accessSync, constants, mkdirSync, statSync } from 'node:fs';
import { dirname, resolve } from 'node:path';

/** The data folder can't be used; the message is one line for whoever starts the bot. */
export class DataFolderError extends Error {}

/** By the system's errno name (`man 3 errno`). */
const REASONS: Readonly<Record<string, string>> = {
  EACCES: 'this user has no right to do that',
  EPERM: 'this user has no right to do that',
  EROFS: 'the disk is mounted read-only',
  ENOSPC: 'the disk is full',
  EDQUOT: 'the disk quota is used up',
  ENOTDIR: 'a file or a broken link stands in its place or above it',
  EEXIST: 'a file or a broken link stands in its place or above it',
  ENOENT: 'nothing can be made at that path',
  ENAMETOOLONG: 'the path is too long',
};

/**
 * Makes the folder of the database with those above it, and sees that files can be made in it.
 *
 * @throws DataFolderError with the reason and the way out, when it can't be made or written
 */
export function makeDataFolder(path: string): void {
  try {
    makeFolder(resolve(path));
  } catch (error) {
    throw refusal(path, "can't be made", error);
  }
  try {
    accessSync(path, constants.W_OK | constants.X_OK);
  } catch (error) {
    throw refusal(path, 'cannot be written to keep tagline.db', error);
  }
}

/** Node's own recursive way goes round in circles where the system answers ENOENT for good, as in some of the kernel's own file systems. */
function makeFolder(path: string): void {
  if (isFolder(path)) return;
  const above = dirname(path);
  if (above !== path) makeFolder(above);
  try {
    mkdirSync(path, { mode: 0o700 });
  } catch (error) {
    // Another process may have made it meanwhile.
    if (!isFolder(path)) throw error;
  }
}

function refusal(path: string, what: string, error: unknown): DataFolderError {
  const code = (error as NodeJS.ErrnoException).code ?? String(error);
  const why = REASONS[code] ?? code;
  return new DataFolderError(
    `The data folder ${resolve(path)} ${what}: ${why}. ` +
      'Set TAGLINE_DATA to a folder that you may write, like TAGLINE_DATA="$HOME/tagline".',
    { cause: error },
  );
}

function isFolder(path: string): boolean {
  try {
    return statSync(path).isDirectory();
  } catch {
    return false;
  }
}
