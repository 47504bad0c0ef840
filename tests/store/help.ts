import { mkdtempSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { onTestFinished } from 'vitest';
import type { Store } from '../../src/store/port.ts';
import { openSqliteStore } from '../../src/store/sqlite/store.ts';
import { ROOM } from '../helpers/room.ts';

export * from './posts.ts';

/** A folder that is gone after the test. */
export function tempFolder(): string {
  const folder = mkdtempSync(join(ROOM, 'tagline-store-'));
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
  return folder;
}

/** A store on a real file, closed after the test. */
export function storeAt(path = join(tempFolder(), 'trips.db')): { store: Store; path: string } {
  const store = openSqliteStore({ path });
  onTestFinished(() => store.close());
  return { store, path };
}
