import fc from 'fast-check';
import { parseHTML } from 'linkedom';
import { describe, expect, it } from 'vitest';
import { escapeHtml, html, unsafeHtml } from '../../../src/page/server/html.ts';

describe('html', () => {
  it('whatever a person wrote is text again when a parser has read it, in text and in attributes', () => {
    const words = fc.string({ unit: 'grapheme', maxLength: 40 });
    const nasty = fc.constantFrom(
      '<script>x</script>',
      '"><img onerror=x>',
      "' onclick='x",
      '&lt;',
      '-->',
    );
    fc.assert(
      fc.property(fc.oneof(words, nasty), (text) => {
        const page = html`<p title="${text}">${text}</p>`.text;
        const { document } = parseHTML(`<html><body>${page}</body></html>`);
        const [p, ...others] = [...document.querySelectorAll('body *')] as {
          textContent: string;
          getAttribute(name: string): string;
        }[];
        expect(others).toEqual([]);
        const plain = text
          .replace(/[\p{Cc}\u2028\u2029]+/gu, ' ')
          .replace(/[\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069]/gu, '');
        expect(p?.textContent).toBe(plain);
        expect(p?.getAttribute('title')).toBe(plain);
      }),
      { numRuns: 300 },
    );
  });

  it('joins lists, leaves nothing for undefined and false, keeps finished HTML', () => {
    expect(html`${['a', '<', html`<b>${'&'}</b>`]}|${undefined}|${false}|${0}`.text).toBe(
      'a&lt;<b>&amp;</b>||' + '|0',
    );
    expect(html`${unsafeHtml('<hr>')}`.text).toBe('<hr>');
  });

  it('takes out what would turn the reading direction or break a line', () => {
    expect(escapeHtml('a\u202eb\u0000c\nd')).toBe('ab c d');
  });
});
