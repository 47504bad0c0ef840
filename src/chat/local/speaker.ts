import type { UserArg } from '../../app/command.ts';

export const MAIN_CHANNEL = 'local:main';

const NAME = /^\p{L}[\p{L}\p{M}\p{N}'._-]*$/u;

/**
 * A person of the local channel, by name: `mara` is Mara, known as `local:mara`. Undefined for what
 * is no name: one word that begins with a letter.
 */
export function speaker(typed: string): UserArg | undefined {
  const name = typed.trim().replace(/^@/u, '').normalize('NFC');
  if (!NAME.test(name) || name.length > 40) return undefined;
  const lower = name.toLowerCase();
  const shown = name === lower ? lower.replace(/^./u, (first) => first.toUpperCase()) : name;
  return { id: `local:${lower}`, name: shown };
}
