/** Lines from which on a mail program has quoted what was answered, or added something of its own. */
const REST: readonly RegExp[] = [
  /^-{2,3}\s*$/u,
  /^_{5,}\s*$/u,
  /^-{2,}\s*(?:original message|ursprüngliche nachricht|opprinnelig melding)/iu,
  /^.{5,200}\b(?:wrote|schrieb|skrev|écrit|escribió|scritto|schreef)\b.{0,120}:$/iu,
  /^(?:from|von|fra|de)\s*:\s.+@/iu,
  /^(?:sent from|sent via|gesendet von|von meinem|sendt fra)\s/iu,
];

/** Longest answer that is read, in characters. */
const TEXT_MAX = 600;

/**
 * What somebody wrote themselves, without what their program quoted or added: at most 600 characters, lines
 * without white space around them, no empty ones.
 */
export function cut(text: string): string {
  const own: string[] = [];
  for (const raw of text.slice(0, 20_000).split(/\r?\n/u)) {
    const line = raw.replace(/\s+/gu, ' ').trim();
    if (line.startsWith('>')) {
      if (own.length > 0) break;
      continue;
    }
    if (REST.some((rest) => rest.test(line))) break;
    if (line !== '') own.push(line);
  }
  return own.join('\n').slice(0, TEXT_MAX);
}
