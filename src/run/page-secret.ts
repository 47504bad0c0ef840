import { randomBytes } from 'node:crypto';
import { existsSync, readFileSync, renameSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Store } from '../store/port.ts';

const BYTES = 32;
const NAME = 'page-secret';

/**
 * The secret that contacts' links are made of, in a file beside the database and not in it, so that a
 * copy of the database opens nobody's page. Made when it is first needed; who else is on this machine
 * can't read it.
 *
 * @throws the system's error where it can't be kept; Error when the file holds something else
 */
export function pageSecret(dataFolder: string): Uint8Array {
  const file = join(dataFolder, NAME);
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

/**
 * Makes the file hold what all who share the database have, so that a contact's link works on each machine. What
 * this one had of its own is kept beside it.
 *
 * @returns the file that was put aside, where there was another secret in it
 */
export async function sharePageSecret(
  store: Pick<Store, 'sharedSecret'>,
  dataFolder: string,
): Promise<string | undefined> {
  const file = join(dataFolder, NAME);
  const had = existsSync(file);
  const own = Buffer.from(pageSecret(dataFolder)).toString('hex');
  const shared = await store.sharedSecret(own);
  if (shared === own) return undefined;
  const aside = had ? putAside(`${file}.own`, own) : undefined;
  const part = `${file}.${process.pid}.part`;
  writeFileSync(part, `${shared}\n`, { mode: 0o600 });
  renameSync(part, file);
  return aside;
}

/** Writes a secret beside, over no other: whoever starts at the same moment puts the same one aside. */
function putAside(name: string, secret: string): string {
  for (let n = 1; ; n++) {
    const file = n === 1 ? name : `${name}.${n}`;
    try {
      writeFileSync(file, `${secret}\n`, { mode: 0o600, flag: 'wx' });
      return file;
    } catch (error) {
      if ((error as NodeJS.ErrnoException).code !== 'EEXIST') throw error;
      if (readFileSync(file, 'utf8').trim() === secret) return file;
    }
  }
}
