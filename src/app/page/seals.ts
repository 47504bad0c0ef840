import { createHmac, timingSafeEqual } from 'node:crypto';

/** What a contact's links and forms are made of: a secret of this installation, and nothing that is stored. */
export interface Seals {
  /** The secret part of a link: 40 hexadecimal digits, the same for the same words. */
  link(...words: readonly string[]): string;
  /** Goes with what a form carries, so that only what was offered comes back. */
  form(...words: readonly string[]): string;
}

/** The shortest secret, in bytes: as long as the hash it goes into (RFC 2104, 3). */
const KEY_MIN = 32;

/**
 * Seals by HMAC with SHA-256 (RFC 2104, FIPS 198-1).
 *
 * @throws RangeError for a secret of fewer than 32 bytes
 */
export function createSeals(key: Uint8Array): Seals {
  if (key.length < KEY_MIN) throw new RangeError(`a secret has at least ${KEY_MIN} bytes`);
  const seal = (use: string, words: readonly string[]) =>
    // As JSON, so that no two lists of words are sealed alike.
    createHmac('sha256', key)
      .update(JSON.stringify([use, ...words]), 'utf8')
      .digest('hex');
  return {
    link: (...words) => seal('link', words).slice(0, 40),
    form: (...words) => seal('form', words),
  };
}

/** Whether two seals are one. Takes as long for a wrong one as for the right one. */
export function sameSeal(a: string, b: string): boolean {
  const [left, right] = [Buffer.from(a, 'utf8'), Buffer.from(b, 'utf8')];
  return left.length === right.length && timingSafeEqual(left, right);
}
