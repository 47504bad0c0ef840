import { chmodSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { dirname } from 'node:path';

const LINES_MAX = 500;

/** Lines typed before, newest first, as `node:readline` keeps them; none when there is no file. */
export function readHistory(file: string): string[] {
  try {
    return readFileSync(file, 'utf8').split('\n').filter(Boolean).reverse().slice(0, LINES_MAX);
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'ENOENT') return [];
    throw error;
  }
}

/** For the owner's eyes only: lines may hold a phone number. */
export function writeHistory(file: string, newestFirst: readonly string[]): void {
  mkdirSync(dirname(file), { recursive: true, mode: 0o700 });
  const lines = newestFirst.slice(0, LINES_MAX).reverse();
  writeFileSync(file, `${lines.join('\n')}\n`, { mode: 0o600 });
  // One that is there keeps no wider rights.
  chmodSync(file, 0o600);
}
