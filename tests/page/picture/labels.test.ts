import { Resvg } from '@resvg/resvg-js';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { drawSvg, escapeXml } from '../../../src/page/picture/draw.ts';
import { FAMILY, FONT_OPTIONS } from '../../../src/page/picture/font.ts';
import { canDraw, textWidth } from '../../../src/page/picture/letters.ts';
import type { Scene } from '../../../src/page/picture/scene.ts';
import { at, levels, line, SCENES } from '../../pictures/scenes.ts';
import { type Node, nodesOf, num } from './svg.ts';

interface Inked {
  text: string;
  x: number;
  y: number;
  width: number;
  height: number;
}

/** The box of a text as the rasteriser itself sets it, drawn alone. */
function inkOf(node: Node): Inked {
  const attributes = ['x', 'y', 'font-size', 'font-weight', 'text-anchor']
    .map((name) => `${name}="${node.attributes[name]}"`)
    .join(' ');
  const svg = `<svg xmlns="http://www.w3.org/2000/svg" width="360" height="900" font-family="${FAMILY}"><text ${attributes}>${escapeXml(node.text)}</text></svg>`;
  const box = new Resvg(svg, { font: FONT_OPTIONS }).getBBox();
  if (box === undefined) throw new Error(`no ink: ${node.text}`);
  return { text: node.text, x: box.x, y: box.y, width: box.width, height: box.height };
}

function collisions(svg: string): string[] {
  const nodes = nodesOf(svg);
  const boxes = nodes.filter((n) => n.name === 'text').map(inkOf);
  const height = num(nodes[0], 'height');
  const found: string[] = [];
  for (const [i, a] of boxes.entries()) {
    if (a.x < 0 || a.y < 0 || a.x + a.width > 360 || a.y + a.height > height) {
      found.push(`${a.text} sticks out`);
    }
    for (const b of boxes.slice(i + 1)) {
      const apart =
        a.x + a.width <= b.x ||
        b.x + b.width <= a.x ||
        a.y + a.height <= b.y ||
        b.y + b.height <= a.y;
      if (!apart) found.push(`${a.text} on ${b.text}`);
    }
  }
  return found;
}

describe('no label stands on another or outside', () => {
  it.each(Object.entries(SCENES))('%s', (_name, make) => {
    expect(collisions(drawSvg(make()))).toEqual([]);
  });

  it('whatever the trip', () => {
    const name = fc.constantFrom('Mara', 'Maximiliane-Ås', 'Pål', 'I', 'W'.repeat(30));
    const mark = fc.record({
      hours: fc.integer({ min: 1, max: 90 }),
      label: fc.constantFrom(
        'Dark 22:40',
        'Last boat 21:15, 3 in 4',
        `Permit ${'long '.repeat(12)}`,
      ),
    });
    const trip = fc.record({
      count: fc.integer({ min: 1, max: 80 }),
      done: fc.integer({ min: 0, max: 80 }),
      each: fc.integer({ min: 20, max: 200 }),
      leader: name,
      marks: fc.array(mark, { maxLength: 9 }),
      binding: fc.nat(8),
    });
    fc.assert(
      fc.property(trip, ({ count, done, each, leader, marks, binding }) => {
        const all = levels(count, Math.min(done, count)).map((l) => ({ ...l, leader }));
        const start = at('12 05:00');
        const told = line(start, all.slice(0, Math.min(done, count)), each);
        const scene: Scene = {
          ...(SCENES.day?.() as Scene),
          levels: all,
          planned: line(start, all, each),
          actual: told,
          fan: [],
          nowMs: (told.at(-1)?.atMs ?? start) + 30 * 60_000,
          marks: marks.map((m, i) => ({
            atMs: start + m.hours * 3_600_000,
            kind: 'cutoff',
            label: m.label,
            binds: i === binding,
          })),
        };
        expect(collisions(drawSvg(scene))).toEqual([]);
      }),
      { numRuns: 40, seed: 20_310_612 },
    );
  });
});

describe('the shipped font', () => {
  it('measures text as wide as it is set, or a shade wider', () => {
    for (const text of [
      'Last boat 21:15, 3 in 4',
      'Pål Ås øæ – · …',
      'AVATAR To Ty',
      '111 lll 000',
    ]) {
      for (const bold of [false, true]) {
        const set = inkOf({
          name: 'text',
          part: '',
          text,
          attributes: {
            x: '10',
            y: '50',
            'font-size': '20',
            'font-weight': bold ? '700' : '400',
            'text-anchor': 'start',
          },
        });
        const measured = textWidth(text, 20, bold);
        expect(measured).toBeGreaterThanOrEqual(set.width - 1);
        expect(measured).toBeLessThan(set.width * 1.06 + 2);
      }
    }
  });

  it('has every letter it says it has: none is drawn as the box for a missing one', () => {
    const ink = (char: string) => {
      const svg = `<svg xmlns="http://www.w3.org/2000/svg" width="60" height="60" font-family="${FAMILY}"><text x="10" y="40" font-size="40">${escapeXml(char)}</text></svg>`;
      return Buffer.from(new Resvg(svg, { font: FONT_OPTIONS }).render().pixels).toString('base64');
    };
    const missing = ink('山');
    const chars = [];
    for (let code = 0x21; code <= 0x17f; code++) {
      const char = String.fromCodePoint(code);
      if (canDraw(char)) chars.push(char);
    }
    expect(chars.length).toBeGreaterThan(300);
    expect([...chars, ...'–—·…’'].filter((c) => ink(c) === missing)).toEqual([]);
  });
});
