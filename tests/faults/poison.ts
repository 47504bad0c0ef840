/** A trip whose record somebody has damaged: it is loud, and takes nothing else down. */
import { join } from 'node:path';
import { sqlite } from '../../src/store/sqlite/driver.ts';
import type { SpawnedStand } from '../discord/spawned.ts';

/** The channel of the trip that is damaged, and its name. */
export const POISONED = 'poisoned';

/** Its second entry becomes one that fits no kind. Nobody may have the file open. */
export function poisonTrip(dataDir: string, name: string): void {
  const db = new (sqlite())(join(dataDir, 'tagline.db'));
  const { changes } = db
    .prepare(
      `UPDATE event SET data = '{"nonsense":[1]}' WHERE seq = 2 AND trip = (SELECT id FROM trip WHERE name = ?)`,
    )
    .run(name);
  db.close();
  if (changes !== 1) throw new Error(`${changes} entries were damaged, not one`);
}

/** Its channel was told, and not at every start. */
export function checkPoisoned(
  { stand }: { stand: SpawnedStand },
  said: (text: string) => void,
): void {
  const times = stand.entries.filter(
    (e) => e.kind === 'message' && e.content.includes("can't read this trip's record"),
  ).length;
  said(`faults.damaged_trip = its channel was told ${times} ×`);
  if (times !== 1) throw new Error('a damaged trip is not told of once');
}
