/** A secret for contacts' links in tests. */
export const SECRET = new Uint8Array(32).fill(7);
