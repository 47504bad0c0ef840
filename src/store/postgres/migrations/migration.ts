/** One step of the database's shape. A released step is never edited: the next one mends it. */
export interface Migration {
  /** What `shape` says after it; 1, 2, 3… without gaps. */
  version: number;
  sql: string;
}
