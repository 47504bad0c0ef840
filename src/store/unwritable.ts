/** Codes of errors after which nothing can be written, by anybody, for however long. A busy database is not one of them. */
export const UNWRITABLE: ReadonlySet<string> = new Set([
  'STORE_FULL',
  'STORE_IO',
  'STORE_READ_ONLY',
  'STORE_REWRITING',
]);
