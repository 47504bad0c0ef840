/**
 * JSON text of a value in the one form that RFC 8785 (JSON Canonicalization Scheme) gives it: names sorted by
 * their UTF-16 code units, no white space, strings and numbers as ECMAScript writes them. What JSON can't hold
 * is left out or becomes null, as `JSON.stringify` does; a lone surrogate, which no UTF-8 holds, becomes U+FFFD.
 */
export function canonicalJson(value: unknown): string {
  if (typeof value === 'string') return JSON.stringify(wellFormed(value));
  if (typeof value !== 'object' || value === null) return JSON.stringify(value) ?? 'null';
  if (Array.isArray(value)) return `[${value.map(canonicalJson).join(',')}]`;
  const members = Object.entries(value)
    .filter(([, v]) => v !== undefined)
    .sort(([a], [b]) => (a < b ? -1 : 1))
    .map(([k, v]) => `${canonicalJson(k)}:${canonicalJson(v)}`);
  return `{${members.join(',')}}`;
}

/** Text with U+FFFD for each lone surrogate, which no UTF-8 holds. */
export function wellFormed(text: string): string {
  return text.replace(/\p{Cs}/gu, '\ufffd');
}
