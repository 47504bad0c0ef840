import { defineConfig } from 'vitest/config';

/**
 * The tests that a mutant is held to: of the rules themselves, without a socket, a browser, a database,
 * a page or a long random play.
 */
export default defineConfig({
  test: {
    include: ['tests/{alarm,delivery,trip}/**/*.test.ts'],
    exclude: [
      '**/{simulation,loop,discord,mail,health,print,calendar,cap,words,alone,random-*}.test.ts',
    ],
    environment: 'node',
    // Every mutant gets a thread of its own anyway; within it the files may share what they import.
    isolate: false,
    setupFiles: ['tests/mutate/setup.ts'],
    testTimeout: 30_000,
  },
});
