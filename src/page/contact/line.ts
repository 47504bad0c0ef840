import type { Line } from '../../say/reply.ts';
import { type Html, html } from '../server/html.ts';

/** Whoever reads a page can type no command, so a line that names one is left out. */
export function withoutCommands(lines: readonly Line[]): readonly Line[] {
  return lines.filter(
    (line) =>
      typeof line === 'string' ||
      !line.some((p) => typeof p === 'object' && 'code' in p && p.code.startsWith('/')),
  );
}

/** Lines of an answer, a paragraph each. */
export function linesHtml(lines: readonly Line[]): Html[] {
  return withoutCommands(lines).map((line) => html`<p>${lineHtml(line)}</p>`);
}

/** One line of an answer as HTML; instants carry their machine form. */
export function lineHtml(line: Line): Html {
  if (typeof line === 'string') return html`${line}`;
  return html`${line.map((piece) => {
    if (typeof piece === 'string') return piece;
    if ('code' in piece) return html`<code>${piece.code}</code>`;
    if ('atMs' in piece) {
      return html`<time datetime="${new Date(piece.atMs).toISOString()}">${piece.text}</time>`;
    }
    return piece.text;
  })}`;
}
