import { describe, expect, it } from 'vitest';
import { DARK, LIGHT, type Palette } from '../../../src/page/picture/palette.ts';
import { strokes } from '../../../src/page/picture/strokes.ts';

/** Relative luminance and contrast ratio by WCAG 2.2, definitions of those names. */
function luminance(hex: string): number {
  const [r = 0, g = 0, b = 0] = [1, 3, 5]
    .map((i) => Number.parseInt(hex.slice(i, i + 2), 16) / 255)
    .map((c) => (c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4));
  return 0.2126 * r + 0.7152 * g + 0.0722 * b;
}

function contrast(a: string, b: string): number {
  const [low = 0, high = 0] = [luminance(a), luminance(b)].sort((x, y) => x - y);
  return (high + 0.05) / (low + 0.05);
}

it('the contrast formula gives the ratios everybody knows', () => {
  // Black on white is 21:1 by definition; #767676 is the lightest grey that passes 4.5:1 on white
  // (WCAG 2.2, understanding 1.4.3).
  expect(contrast('#000000', '#ffffff')).toBeCloseTo(21, 5);
  expect(contrast('#767676', '#ffffff')).toBeGreaterThanOrEqual(4.5);
  expect(contrast('#777777', '#ffffff')).toBeLessThan(4.5);
});

describe.each([
  ['light', LIGHT],
  ['dark', DARK],
] as const)('%s', (_name, p: Palette) => {
  it('text reads at 4.5:1 on all it can stand on (1.4.3)', () => {
    for (const ground of [p.ground, p.night, p.fanFill]) {
      expect(contrast(p.ink, ground)).toBeGreaterThanOrEqual(4.5);
      expect(contrast(p.quiet, ground)).toBeGreaterThanOrEqual(4.5);
    }
    expect(contrast(p.mark, p.ground)).toBeGreaterThanOrEqual(4.5);
    // The tag of now.
    expect(contrast(p.ground, p.ink)).toBeGreaterThanOrEqual(4.5);
  });

  it('lines that carry meaning stand out at 3:1, at night and on the band too (1.4.11)', () => {
    for (const line of [p.ink, p.planned, p.fanEdge, p.mark]) {
      for (const ground of [p.ground, p.night, p.fanFill]) {
        expect(contrast(line, ground)).toBeGreaterThanOrEqual(3);
      }
    }
    expect(contrast(p.nightEdge, p.ground)).toBeGreaterThanOrEqual(3);
  });

  it('no two kinds of line share dash and weight, so that grey is enough (1.4.1)', () => {
    const kinds = ['told', 'planned', 'projected', 'fan-edge', 'mark', 'rain'] as const;
    const looks = kinds.map((k) => {
      const { strokeWidth, strokeDasharray } = strokes(k, p);
      return `${strokeWidth} ${strokeDasharray}`;
    });
    expect(new Set(looks).size).toBe(kinds.length);
  });
});
