import { mkdtempSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll } from 'vitest';
import { ROOM } from './room.ts';

/** Makes new folders, which go when the tests of the file are over. To be called at the head of the file. */
export function folders(): () => string {
  const made: string[] = [];
  afterAll(() => {
    for (const folder of made) rmSync(folder, { recursive: true, force: true });
  });
  return () => {
    const folder = mkdtempSync(join(ROOM, 'tagline-'));
    made.push(folder);
    return folder;
  };
}
