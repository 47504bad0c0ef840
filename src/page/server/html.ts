/** A piece of finished HTML; everything else is text and is escaped when it is put in. */
export class Html {
  readonly text: string;
  constructor(text: string) {
    this.text = text;
  }
  toString(): string {
    return this.text;
  }
}

type Hole = string | number | Html | undefined | false | readonly Hole[];

/**
 * Writes HTML: what stands in `${…}` is escaped, for text and for quoted attribute values alike,
 * unless it is Html itself. Lists are joined, undefined and false leave nothing.
 */
export function html(strings: TemplateStringsArray, ...holes: readonly Hole[]): Html {
  const parts = strings.flatMap((text, i) => [text, i < holes.length ? fill(holes[i]) : '']);
  return new Html(parts.join(''));
}

function fill(hole: Hole): string {
  if (hole === undefined || hole === false) return '';
  if (hole instanceof Html) return hole.text;
  if (typeof hole === 'object') return hole.map(fill).join('');
  return escapeHtml(String(hole));
}

const NAMED: Readonly<Record<string, string>> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
  "'": '&#39;',
};

/** The five signs that mean something in HTML, and controls, which HTML forbids (WHATWG, 3.2.5). */
export function escapeHtml(text: string): string {
  return text
    .replace(/[\p{Cc}\u2028\u2029]+/gu, ' ')
    .replace(/[\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069]/gu, '')
    .replace(/[&<>"']/gu, (sign) => NAMED[sign] ?? sign);
}

/** HTML that was made by another escaping writer, such as the drawing. Never for words from people. */
export function unsafeHtml(text: string): Html {
  return new Html(text);
}
