/** One step of the database's shape. A released step is never edited: the next one mends it. */
export interface Migration {
  /** The `user_version` after it; 1, 2, 3… without gaps. */
  version: number;
  sql: string;
  /** What has to be worked out afterwards, in the same transaction: seals of entries that have none. */
  also?: 'seal';
}
