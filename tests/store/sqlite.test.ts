import { join } from 'node:path';
import { onTestFinished } from 'vitest';
import { openSqliteStore } from '../../src/store/sqlite/store.ts';
import { systemClock } from '../../src/system/clock.ts';
import type { Clock } from '../../src/time/clock.ts';
import { runs } from '../helpers/long.ts';
import { storeContract } from './contract/index.ts';
import { tempFolder } from './help.ts';

/** Looks for others' changes without the wait. */
const IMPATIENT: Clock = {
  ...systemClock(),
  sleep: (ms, signal) => systemClock().sleep(Math.min(ms, 10), signal),
};

storeContract(
  'SQLite',
  async () => {
    const path = join(tempFolder(), 'trips.db');
    return {
      async store() {
        const store = openSqliteStore({ path, clock: IMPATIENT });
        onTestFinished(() => store.close());
        return store;
      },
    };
  },
  runs(20, 800),
);
