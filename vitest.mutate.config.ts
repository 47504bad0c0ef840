import { defineConfig } from 'vitest/config';

/** The pure tests that a mutant is held to: no socket, no browser, no database. */
export default defineConfig({
  test: {
    include: ['tests/{watch,alarm,trip}/**/*.test.ts'],
    exclude: ['**/{simulation,loop,discord,mail,health,print}.test.ts'],
    environment: 'node',
    setupFiles: ['tests/mutate/setup.ts'],
    testTimeout: 30_000,
  },
});
