import { readFileSync } from 'node:fs';
import { expect } from 'vitest';

/**
 * Under mutation every property runs some hundred times, so each gets a short time and always the same
 * sequence: a mutant that only rare luck would find counts as alive and asks for a test of its own.
 * Loaded only where it is used, because a mutant's whole run takes less time than loading it.
 */
const { testPath } = expect.getState();
if (testPath !== undefined && readFileSync(testPath, 'utf8').includes("from 'fast-check'")) {
  const { configureGlobal } = await import('fast-check');
  configureGlobal({ seed: 1, interruptAfterTimeLimit: 300, markInterruptAsFailure: false });
}
