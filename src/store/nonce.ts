import { createHash } from 'node:crypto';

/**
 * The chat's nonce, from the key, so that it is the same after any restart: 24 characters of its
 * SHA-256 in base64url (144 bits), within Discord's limit of 25.
 */
export function nonceOf(key: string): string {
  return createHash('sha256').update(key).digest('base64url').slice(0, 24);
}
