import { describe } from 'vitest';
import { appendContract } from './append.ts';
import type { MakeDatabase } from './database.ts';
import { modelContract } from './model-test.ts';
import { sharingContract } from './sharing.ts';
import { watchContract } from './watch.ts';

/** What every implementation of the store keeps to; src/store/port.ts says it in words. */
export function storeContract(name: string, make: MakeDatabase, modelRuns: number): void {
  describe(`${name} keeps the store's contract`, () => {
    appendContract(make);
    watchContract(make);
    sharingContract(make);
    modelContract(make, modelRuns);
  });
}
