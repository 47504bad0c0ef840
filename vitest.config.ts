import { defineConfig } from 'vitest/config';

export default defineConfig({
  test: {
    include: ['tests/**/*.test.ts'],
    environment: 'node',
    // Forks, because better-sqlite3 is a native addon and some tests change the process's zone.
    pool: 'forks',
    // All cores: most tests wait for a disk, a socket or a child process.
    maxWorkers: '100%',
    testTimeout: 30_000,
  },
});
