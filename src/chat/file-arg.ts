import { Refusal } from '../say/refusal.ts';

/** The words for a file that is too large, the same wherever it came from. */
export function tooLarge(name: string, maxBytes: number): Refusal {
  return new Refusal(
    'file-too-large',
    `${name} is too large: at most ${kilobytes(maxBytes)} can be read.`,
  );
}

export function kilobytes(bytes: number): string {
  return bytes < 1000 ? `${bytes} bytes` : `${Math.ceil(bytes / 1000)} kB`;
}
