import { readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';

/**
 * Beside the file stands how it was when it was last closed in order. A file that is still exactly so needs no
 * check of every page at the next start; one that was copied back, written to by somebody else, or left by a
 * process that was killed or met damage does.
 */
const noteOf = (path: string) => `${path}-closed`;

/** Whether the file is as it was left by an orderly end. */
export function isLeftWhole(path: string): boolean {
  try {
    return (
      statSync(`${path}-wal`, { throwIfNoEntry: false }) === undefined &&
      readFileSync(noteOf(path), 'utf8') === describe(path)
    );
  } catch {
    return false;
  }
}

/** From now on the file changes. */
export function isInUse(path: string): void {
  rmSync(noteOf(path), { force: true });
}

/** The last connection has closed in order. Where it can't be noted, the next start checks the file. */
export function leaveWhole(path: string): void {
  try {
    // Another connection is open still.
    if (statSync(`${path}-wal`, { throwIfNoEntry: false }) !== undefined) return;
    writeFileSync(noteOf(path), describe(path), { mode: 0o600 });
  } catch {
    // The disk may be full or read-only.
  }
}

function describe(path: string): string {
  const { ino, size, mtimeNs } = statSync(path, { bigint: true });
  return `${ino} ${size} ${mtimeNs}\n`;
}
