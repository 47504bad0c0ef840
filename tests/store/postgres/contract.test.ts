import { afterAll, beforeAll, describe, expect, onTestFinished, test } from 'vitest';
import { openPostgresStore } from '../../../src/store/postgres/open.ts';
import { runs } from '../../helpers/long.ts';
import { postgresPrograms, type Server, startServer } from '../../helpers/postgres.ts';
import { storeContract } from '../contract/index.ts';

const programs = postgresPrograms();

test('PostgreSQL is there to be tested with (Debian: apt-get install postgresql)', () => {
  if (programs === undefined)
    process.stderr.write('No PostgreSQL server: its tests are left out.\n');
  expect(programs !== undefined || process.env.CI === undefined).toBe(true);
});

describe.runIf(programs !== undefined)('on a server of its own', () => {
  let server: Server;
  beforeAll(async () => {
    server = await startServer(programs ?? '');
  });
  afterAll(() => server.remove());

  storeContract(
    'PostgreSQL',
    async () => {
      const url = await server.database();
      return {
        async store() {
          const store = await openPostgresStore({ url });
          onTestFinished(() => store.close());
          return store;
        },
      };
    },
    runs(4, 300),
  );
});
