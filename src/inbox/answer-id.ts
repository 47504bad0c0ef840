import { createHash } from 'node:crypto';

/** The name of the one answer to a mail: the same each time, so that a mail server can drop the second. */
export function nonceFor(id: string): string {
  return createHash('sha256').update(`answer ${id}`).digest('base64url').slice(0, 24);
}
