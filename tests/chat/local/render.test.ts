import fc from 'fast-check';
import stringWidth from 'string-width';
import { describe, expect, it } from 'vitest';
import { renderText } from '../../../src/chat/local/render.ts';

describe('a reply in a terminal', () => {
  it('wraps with a hanging indent', () => {
    const line = `  Be on pitch 8 by 16:40, ${'or plan on a second night, '.repeat(4)}and say so.`;
    const lines = renderText({ lines: [line] }, { width: 40 });
    expect(lines.length).toBeGreaterThan(2);
    expect(lines[0]).toMatch(/^ {2}Be on/u);
    for (const later of lines.slice(1)) expect(later).toMatch(/^ {4}\S/u);
    expect(lines.map((l) => l.trim()).join(' ')).toBe(line.trim());
  });

  it('keeps a number and its unit together', () => {
    const lines = renderText({ lines: ['Met with a confidence of 90 % or so.'] }, { width: 32 });
    expect(lines).toEqual(['Met with a confidence of 90 %', '  or so.']);
    const tight = renderText({ lines: ['Met with a confidence of 90 % or so.'] }, { width: 30 });
    expect(tight).toEqual(['Met with a confidence of', '  90 % or so.']);
  });

  it('stays within the width, whatever it is given', () => {
    const text = fc.string({ unit: 'grapheme', maxLength: 120 });
    const reply = fc.record({
      lines: fc.array(text, { maxLength: 4 }),
      table: fc.record({
        head: fc.array(text, { minLength: 3, maxLength: 3 }),
        rows: fc.array(fc.array(text, { minLength: 3, maxLength: 3 }), { maxLength: 4 }),
      }),
    });
    fc.assert(
      fc.property(reply, fc.constantFrom(40, 80), (r, width) => {
        for (const line of renderText(r, { width, indent: 2 })) {
          expect(stringWidth(line)).toBeLessThanOrEqual(width);
        }
      }),
    );
  });

  // ECMA-48: CSI and OSC sequences, with 7-bit and 8-bit introducers.
  it.each([
    ['\u001b[31mMara\u001b[0m', 'Mara'],
    ['\u001b]0;title\u0007Mara', 'Mara'],
    ['\u009b2JMara', 'Mara'],
    ['Ma\rra\u0008', 'Ma ra '],
    ['\u202eMara', 'Mara'],
  ])('makes %j harmless', (name, shown) => {
    const reply = { lines: [[{ text: name, userId: 'local:x' }]], buttons: [] };
    expect(renderText(reply, { width: 80 })).toEqual([shown]);
  });

  it('shows table, files, buttons and whom it pings', () => {
    const lines = renderText(
      {
        private: true,
        lines: [['Told ', { text: 'Dana', userId: 'local:dana' }, '.']],
        pings: ['local:dana'],
        table: {
          head: ['P', 'Lead'],
          rows: [
            ['1', 'Mara'],
            ['12', 'Pål'],
          ],
          align: ['right', 'left'],
        },
        after: ['Two of nine.'],
        files: [
          { name: 'board.png', mime: 'image/png', bytes: new Uint8Array(2500), alt: 'The board' },
        ],
        buttons: [
          { label: 'Undo', press: { path: 'trip show', options: {} } as const },
          { label: 'Change the time', press: { path: 'trip show', options: {} } as const },
        ],
      },
      { width: 80 },
    );
    expect(lines).toEqual([
      '(only to you)',
      'Told @Dana.',
      '   P  Lead',
      '   1  Mara',
      '  12  Pål',
      'Two of nine.',
      'File board.png (3 kB): The board',
      '[Undo] [Change the time]',
    ]);
  });

  it('says nothing by bold type alone', () => {
    const reply = {
      lines: [['Then: ', { code: '/help' }]],
      buttons: [{ label: 'Undo', press: { path: 'trip show', options: {} } as const }],
    };
    const bold = renderText(reply, { width: 80, bold: true });
    expect(bold.join('\n')).toContain('\u001b[1m/help\u001b[22m');
    // biome-ignore lint/suspicious/noControlCharactersInRegex: that is what is looked for.
    const bare = bold.map((line) => line.replace(/\u001b\[\d+m/gu, ''));
    expect(bare).toEqual(renderText(reply, { width: 80 }));
  });
});
