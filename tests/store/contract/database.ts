import type { Store } from '../../../src/store/port.ts';

/** A database of its own for one test, gone after it. */
export interface Database {
  /** A store on it; each has its own connection, as in another process. Closed after the test. */
  store(): Promise<Store>;
}

export type MakeDatabase = () => Promise<Database>;
