import { type Frame, WIDTH } from './frame.ts';
import type { Label } from './labels.ts';
import { textWidth } from './letters.ts';
import type { Scene } from './scene.ts';

export type LegendKind = 'told' | 'planned' | 'projected' | 'dark' | 'rain';

/** A sample of a line or an area, to the left of its words. */
export interface LegendItem {
  kind: LegendKind;
  x: number;
  /** Middle of the row. */
  y: number;
}

export const SAMPLE = 20;
const SIZE = 12.5;
const GAP = 10;
const ROW = 19;
const MARGIN = 10;

const WORDS: Record<LegendKind, string> = {
  told: 'told',
  planned: 'planned',
  projected: 'projected (8 in 10)',
  dark: 'dark',
  rain: 'rain told, denser where likelier',
};

/** The key below the plot, only for what is drawn; flows into a second row. */
export function legendOf(
  scene: Scene,
  frame: Pick<Frame, 'fromMs' | 'toMs'>,
  topY: number,
): { items: LegendItem[]; labels: Label[]; height: number } {
  const items: LegendItem[] = [];
  const labels: Label[] = [];
  let x = MARGIN;
  let y = topY;
  for (const kind of kindsIn(scene, frame)) {
    const width = SAMPLE + 5 + textWidth(WORDS[kind], SIZE) + GAP;
    if (x > MARGIN && x + width - GAP > WIDTH - MARGIN) {
      x = MARGIN;
      y += ROW;
    }
    items.push({ kind, x, y });
    labels.push({
      role: 'legend',
      text: WORDS[kind],
      x: x + SAMPLE + 5,
      y: y + SIZE * 0.34,
      anchor: 'start',
      size: SIZE,
      bold: false,
      tone: 'ink',
    });
    x += width;
  }
  return { items, labels, height: items.length === 0 ? 0 : y - topY + ROW + 4 };
}

function kindsIn(scene: Scene, frame: Pick<Frame, 'fromMs' | 'toMs'>): LegendKind[] {
  const kinds: [LegendKind, boolean][] = [
    ['told', scene.actual.length > 0],
    ['planned', scene.planned.length > 0],
    ['projected', scene.fan.length > 0 || scene.down !== undefined],
    ['dark', scene.nights.some((n) => n.toMs > frame.fromMs && n.fromMs < frame.toMs)],
    ['rain', (scene.rains ?? []).some((r) => r.toMs > frame.fromMs && r.fromMs < frame.toMs)],
  ];
  return kinds.flatMap(([kind, is]) => (is ? [kind] : []));
}
