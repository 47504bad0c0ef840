import { randomBytes } from 'node:crypto';
import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';

const BYTES = 32;

/**
 * The secret that contacts' links are made of, in a file beside the database and not in it, so that a
 * copy of the database opens nobody's page. Made when it is first needed; who else is on this machine
 * can't read it.
 *
 * @throws the system's error where it can't be kept; Error when the file holds something else
 */
export function pageSecret(dataFolder: string): Uint8Array {
  const file = join(dataFolder, 'page-secret');
  try {
    writeFileSync(file, `${randomBytes(BYTES).toString('hex')}\n`, { mode: 0o600, flag: 'wx' });
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code !== 'EEXIST') throw error;
  }
  const text = readFileSync(file, 'utf8').trim();
  if (!/^[0-9a-f]{64}$/u.test(text)) {
    throw new Error(
      `${file} holds no secret. Remove it, and another is made; links sent so far end.`,
    );
  }
  return Buffer.from(text, 'hex');
}
