import { chmodSync, mkdirSync, rmSync, writeFileSync } from 'node:fs';
import { basename, join } from 'node:path';
import type { FileOut } from '../../say/reply.ts';

/** Puts an answer's file into a folder; says where it is, or why it isn't, as words in a line. */
export function keepFile(folder: string, file: FileOut): string {
  const path = join(folder, basename(file.name).replace(/[^\p{L}\p{N}._-]+/gu, '_'));
  try {
    mkdirSync(folder, { recursive: true, mode: 0o700 });
    chmodSync(folder, 0o700);
    // Sheets and records hold what is for the roster's eyes only; one that is there keeps no wider rights.
    writeFileSync(path, file.bytes, { mode: 0o600 });
    chmodSync(path, 0o600);
    return `saved as ${path}`;
  } catch (error) {
    return `not saved, as ${path} ${whyNot(error)}`;
  }
}

/** Why a file of ours can't be used, in a few words that follow its name. */
export function whyNot(error: unknown): string {
  const code = error instanceof Error && 'code' in error ? String(error.code) : 'unknown';
  if (code === 'ENOSPC' || code === 'EDQUOT') return "can't be written: the disk is full";
  if (code === 'EROFS' || code === 'EACCES' || code === 'EPERM') {
    return "can't be used: it is read-only or belongs to somebody else";
  }
  return `can't be used (${code})`;
}

/** Where files of a trip are put. */
export function filesFolder(dataDir: string, trip: string | undefined): string {
  const folder = join(dataDir, 'files');
  return trip === undefined ? folder : join(folder, basename(trip));
}

/** Removes what answers about a trip have left there. */
export function dropFiles(dataDir: string, trip: string): void {
  rmSync(filesFolder(dataDir, trip), { recursive: true, force: true });
}
