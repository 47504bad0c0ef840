import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { renderReply } from '../../../src/chat/discord/render.ts';
import type { Reply } from '../../../src/say/reply.ts';

const nowMs = 1_939_990_000_000;
const one = (reply: Reply) => renderReply(reply, { nowMs }).messages[0];

describe('a reply as a Discord message', () => {
  it.each([
    ['*Mara* @everyone', '\\*Mara\\* \\@everyone'],
    ['`rm` <@123> <#4> <:x:5>', '\\`rm\\` \\<\\@123\\> \\<#4\\> \\<:x:5\\>'],
    ['[here](https://example.org)', '\\[here\\](https\\://example.org)'],
    ['__a__ ~~b~~ ||c||', '\\_\\_a\\_\\_ \\~\\~b\\~\\~ \\|\\|c\\|\\|'],
    ['> quoted', '\\> quoted'],
    ['# Big', '\\# Big'],
    ['- item', '\\- item'],
    ['7. item', '7\\. item'],
    ['a\nb\u202ec\u001b[31md', 'a bcd'],
  ])('shows %j as it was typed', (text, content) => {
    expect(one({ lines: [text] }).content).toBe(content);
  });

  it('leaves no sign of markup or mention bare, whatever a name holds', () => {
    const nasty = fc.string({ unit: fc.constantFrom(...'ab \\*_~`|<>@[]()#-:/.\n') });
    fc.assert(
      fc.property(nasty, nasty, (name, other) => {
        const { content, pings } = one({ lines: [['a', name, other]] });
        const bare = content.replace(/\\[^A-Za-z0-9\s]/gu, '.');
        expect(bare).not.toMatch(/[*_~`|<>@[\]]|:\/\//u);
        expect(pings).toEqual([]);
      }),
    );
  });

  it('tells how far off the first thing ahead is, once', () => {
    const at = (atMs: number, text: string) => ({ atMs, text });
    const { content } = one({
      lines: [
        ['Done at ', at(nowMs - 60_000, '14:22'), '.'],
        [
          'Top-out ',
          at(nowMs + 3_600_000, '18:50'),
          ', dark ',
          at(nowMs + 7_200_000, '22:40'),
          '.',
        ],
      ],
    });
    expect(content).toBe(
      `Done at 14:22.\nTop-out 18:50 (<t:${(nowMs + 3_600_000) / 1000}:R>), dark 22:40.`,
    );
  });

  it('pings who is named in pings and nobody else', () => {
    const lines = [
      [
        { text: 'Dana', userId: '900000000000000001' },
        ' ',
        { text: '_Mara_', userId: '900000000000000002' },
      ],
    ];
    const message = one({ lines, pings: ['900000000000000001', 'local:mara'] });
    expect(message.content).toBe('<@900000000000000001> \\_Mara\\_');
    expect(message.pings).toEqual(['900000000000000001']);
  });

  it('keeps code readable when it holds backticks', () => {
    expect(one({ lines: [[{ code: '/a b:"c"' }]] }).content).toBe('`/a b:"c"`');
    expect(one({ lines: [[{ code: 'a`b' }]] }).content).toBe('`` a`b ``');
    expect(one({ lines: [[{ code: 'a``b`' }]] }).content).toBe("`a''b'`");
  });

  it('sets a table in fixed width, at most 44 columns, with nothing left out', () => {
    const note = 'a long note that has to go on in the next line of the same cell';
    const table = {
      head: ['P', 'Lead', 'Note'],
      rows: [
        ['1', 'Mara', note],
        ['12', 'Pål ```', '岩壁'],
      ],
      align: ['right', 'left', 'left'] as const,
    };
    const content = one({ lines: ['Plan'], table, after: ['End'] }).content.split('\n');
    expect(content[1]).toBe('```');
    expect(content.at(-2)).toBe('```');
    const inside = content.slice(2, -2);
    expect(Math.max(...inside.map((line) => line.length))).toBeLessThanOrEqual(44);
    expect(inside.join('')).not.toContain('`');
    expect(inside.join(' ').replace(/\s+/gu, ' ')).toContain('a long note that');
    for (const word of note.split(' ')) expect(inside.join(' ')).toContain(word);
    expect(inside.at(-1)).toMatch(/^12 {2}Pål ''' {2}岩壁$/u);
  });

  it('puts buttons in rows of five and names what had to be left out', () => {
    const button = (n: number) => ({
      label: `B${n}`,
      press: { path: 'post done', options: { number: n } } as const,
    });
    const many = Array.from({ length: 27 }, (_, n) => button(n));
    const rendering = renderReply(
      { lines: ['x'], buttons: [...many, { ...button(1), label: ' ' }] },
      { nowMs, trip: 'trip0001' },
    );
    const rows = rendering.messages[0].rows;
    expect(rows.map((r) => r.components.length)).toEqual([5, 5, 5, 5, 5]);
    expect(
      new Set(
        rows.flatMap((r) => r.components.map((c) => ('custom_id' in c ? c.custom_id : c.url))),
      ).size,
    ).toBe(25);
    expect(rendering.problems).toHaveLength(3);
  });

  it('goes on in a second message, buttons and files last', () => {
    const lines = Array.from(
      { length: 60 },
      (_, i) => `Line ${i} with forty characters or a few more.`,
    );
    const files = [
      { name: 'a b.png', mime: 'image/png', bytes: new Uint8Array(3), alt: 'A\nboard' },
    ];
    const buttons = [{ label: 'Undo', press: { path: 'post undo', options: {} } as const }];
    const { messages } = renderReply({ lines, files, buttons }, { nowMs });
    expect(messages).toHaveLength(2);
    for (const m of messages) expect(m.content.length).toBeLessThanOrEqual(2000);
    expect(
      messages
        .map((m) => m.content)
        .join('\n')
        .split('\n'),
    ).toEqual(lines);
    expect(messages[0].files).toEqual([]);
    expect(messages[1]?.files[0]).toMatchObject({ name: 'a_b.png', alt: 'A board' });
    expect(messages[1]?.rows).toHaveLength(1);
  });

  it('repeats the head of a table that goes on in another message', () => {
    const rows = Array.from({ length: 90 }, (_, i) => [`${i}`, 'a cell of some thirty characters']);
    const { messages } = renderReply(
      { lines: ['T'], table: { head: ['N', 'Text'], rows } },
      { nowMs },
    );
    expect(messages.length).toBeGreaterThan(1);
    for (const m of messages) {
      expect(m.content.match(/```/gu)).toHaveLength(2);
      expect(m.content).toContain('N   Text');
    }
  });

  it.each([
    [
      'many lines',
      Array.from({ length: 400 }, (_, i) => `Line ${i} of a very long answer indeed.`),
    ],
    ['one long line', [`${'word '.repeat(900)}end`]],
  ])('attaches %s as a file and never runs over', (_, lines) => {
    const { messages } = renderReply({ lines }, { nowMs });
    expect(messages).toHaveLength(1);
    expect(messages[0].content.length).toBeLessThanOrEqual(2000);
    expect(messages[0].content).toMatch(/The whole answer is in the attached file\.$/u);
    const text = new TextDecoder().decode(messages[0].files[0]?.bytes);
    expect(text).toContain(lines.at(-1));
  });

  it('fits any reply into messages Discord takes', () => {
    const text = fc.string({ maxLength: 300 });
    const reply = fc.record({
      lines: fc.array(text, { maxLength: 40 }),
      table: fc.record({
        head: fc.array(text, { minLength: 1, maxLength: 4 }),
        rows: fc.array(fc.array(text, { maxLength: 5 }), { maxLength: 20 }),
      }),
    });
    fc.assert(
      fc.property(reply, fc.integer({ min: 1, max: 3 }), (r, maxMessages) => {
        const { messages } = renderReply(r, { nowMs, maxMessages });
        expect(messages.length).toBeLessThanOrEqual(maxMessages);
        for (const m of messages) {
          expect(m.content.length).toBeLessThanOrEqual(2000);
          expect(m.content.length + m.files.length).toBeGreaterThan(0);
        }
      }),
      { numRuns: 60 },
    );
  });

  it('makes a way out to a page something to tap, before the buttons', () => {
    const url = 'https://tagline.example.org/t/abc';
    const { messages, problems } = renderReply(
      {
        lines: ['The page:'],
        links: [{ label: 'Open the page', url }],
        buttons: [{ label: 'Undo', press: { path: 'pitch strike', options: { entry: 3 } } }],
      },
      { nowMs, trip: 'trip0001' },
    );
    expect(problems).toEqual([]);
    expect(messages[0].rows[0]?.components.map((c) => ('url' in c ? c.url : c.label))).toEqual([
      url,
      'Undo',
    ]);
  });
});
