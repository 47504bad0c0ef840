import { defineConfig } from 'vitest/config';

/** The long form takes as long as it takes. */
const HANGS_MS = (process.env.TEST_LONG === '1' ? 12 * 60 : 15) * 60_000;

export default defineConfig({
  test: {
    include: ['tests/**/*.test.ts'],
    environment: 'node',
    setupFiles: ['tests/helpers/setup.ts'],
    // Forks, because better-sqlite3 is a native addon and some tests change the process's zone.
    pool: 'forks',
    // Files share a process and what it has loaded: loading it anew for each took a third of the time.
    // So a test leaves the process as it found it.
    isolate: false,
    // All cores: most tests wait for a disk, a socket or a child process.
    maxWorkers: '100%',
    // Only to end a run that hangs: a slow machine is no fault, so no limit may come near what a test takes.
    testTimeout: HANGS_MS,
    hookTimeout: HANGS_MS,
    teardownTimeout: HANGS_MS,
  },
});
