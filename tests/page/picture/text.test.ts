import { describe, expect, it } from 'vitest';
import { altOf } from '../../../src/page/picture/alt.ts';
import { drawSvg } from '../../../src/page/picture/draw.ts';
import type { Scene } from '../../../src/page/picture/scene.ts';
import { drawText } from '../../../src/page/picture/text.ts';
import { SCENES } from '../../pictures/scenes.ts';

describe.each(Object.entries(SCENES))('%s', (_name, make) => {
  it('keeps to the columns it is given', () => {
    for (const width of [40, 64, 80, 200]) {
      for (const row of drawText(make(), width)) {
        if (/^[A-F] /u.test(row) || row.startsWith('#') || row.startsWith('o ')) continue;
        expect(row.length).toBeLessThanOrEqual(Math.min(80, width));
      }
    }
  });

  it('has alt text of a length every chat takes, that names the trip', () => {
    const alt = altOf(make());
    expect(alt).toContain('Harrow Tower');
    expect(alt.length).toBeLessThanOrEqual(1000);
  });
});

describe('a day in text', () => {
  const scene = SCENES.day?.() as Scene;
  const rows = drawText(scene);
  const row = (pitch: number) => rows.find((r) => r.slice(1, 7).trim() === String(pitch)) ?? '';

  it('has what was told at the pitches that are done and what is projected above', () => {
    for (const pitch of [1, 2, 3, 4, 5]) {
      expect(row(pitch)).toContain('#');
      expect(row(pitch).slice(14)).not.toContain('o');
    }
    for (const pitch of [6, 7, 8, 9]) {
      expect(row(pitch).slice(14)).toMatch(/-*o-*/u);
      expect(row(pitch)).not.toContain('#');
    }
  });

  it('points at the pitch under way and keeps the same columns in every row', () => {
    expect(row(6).startsWith('>')).toBe(true);
    const now = row(9).indexOf('+');
    expect(now).toBeGreaterThan(14);
    for (const pitch of [1, 2, 3, 8]) expect(row(pitch)[now]).toBe('+');
    expect(rows.find((r) => r.trimStart().startsWith('ground'))?.[now]).toBe('+');
  });

  it('explains its letters', () => {
    expect(rows).toContain('B Last boat 21:15, 3 in 4, the tightest');
  });
});

it('alt text tells the odds and the lines of a day', () => {
  const alt = altOf(SCENES.day?.() as Scene);
  expect(alt).toContain('5 of 9 pitches done');
  expect(alt).toContain('Projected top-out 18:48, 8 in 10 ascents between 18:03 and 20:17');
  expect(alt).toContain('Last boat 21:15, 3 in 4, the tightest');
});

it('names no time in the middle where the day of the top-out is open', () => {
  const scene: Scene = { ...(SCENES.day?.() as Scene), answer: [], topIsOpen: true };
  expect(altOf(scene)).toContain('Projected top-out, 8 in 10 ascents between 18:03 and 20:17');
  expect(drawSvg(scene)).not.toContain('18:48');
});
