import { randomBytes } from 'node:crypto';
import type { Ids } from '../app/app.ts';

const LETTERS = 'abcdefghijklmnopqrstuvwxyz234567';

function word(bytes: Uint8Array): string {
  return [...bytes].map((b) => LETTERS[b % LETTERS.length]).join('');
}

/** Identifiers nobody can guess. */
export function randomIds(): Ids {
  return {
    trip: () => word(randomBytes(8)),
    event: () => word(randomBytes(16)),
    reference: () => word(randomBytes(6)).toUpperCase(),
  };
}

/** Identifiers that are the same in every run, for scripts. */
export function countedIds(): Ids {
  let count = 0;
  const next = (width: number) => String(++count).padStart(width, '0');
  return {
    trip: () => `t${next(7)}`,
    event: () => `e${next(15)}`,
    reference: () => `R${next(5)}`,
  };
}
