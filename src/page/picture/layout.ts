import { dayLabel, hourTicks, midnights, type Tick } from './axis.ts';
import { FLAG_ROW, type Flag, flagsOf } from './flags.ts';
import { type Frame, frameOf, shownMarks, WIDTH } from './frame.ts';
import { type Label, Sheet } from './labels.ts';
import { type LegendItem, legendOf } from './legend.ts';
import { canDraw, drawable, fitText, textWidth, wrapText } from './letters.ts';
import { placeLevels } from './levels.ts';
import { blockData, placePoints } from './points.ts';
import type { Scene } from './scene.ts';
import { atIn } from './scene.ts';

/** A picture with everything in its place, ready to be drawn. */
export interface Layout {
  scene: Scene;
  width: number;
  height: number;
  /** Undefined when there is nothing to draw but words. */
  frame?: Frame;
  flags: readonly (Flag & { topY: number })[];
  ticks: readonly Tick[];
  midnights: readonly number[];
  labels: readonly Label[];
  legend: readonly LegendItem[];
}

const MARGIN = 10;
const TITLE = 17;
const ANSWER = 14;
const AXIS = 12;

export function layoutOf(told: Scene): Layout {
  const scene = drawableScene(told);
  const head = headOf(scene);
  if (scene.levels.length === 0) return wordsOnly(scene, head);
  const marks = shownMarks(scene);
  const rough = flagsOf(marks, frameOf(scene, 0));
  const rows = Math.max(0, ...rough.map((f) => f.row + 1));
  const frame = frameOf(scene, head.bottom + 6 + rows * FLAG_ROW);
  const flags = rough.map((f) => ({ ...f, topY: frame.plot.y - (f.row + 1) * FLAG_ROW + 3 }));
  const bottom = frame.plot.y + frame.plot.height;
  const legend = legendOf(scene, frame, bottom + 50);
  const height = bottom + 40 + legend.height;
  const sheet = new Sheet({ x: 2, y: 0, width: WIDTH - 4, height });
  for (const f of flags) {
    sheet.place([{ ...f.label, y: frame.plot.y - f.row * FLAG_ROW - 5 }], 0);
  }
  for (const label of head.labels) sheet.place([label], 0);
  for (const label of legend.labels) sheet.place([label], 0);
  const ticks = placeAxis(scene, frame, sheet);
  placeLevels(scene, frame, sheet);
  blockData(scene, frame, marks, sheet);
  placePoints(scene, frame, sheet);
  return {
    scene,
    width: WIDTH,
    height,
    frame,
    flags,
    ticks,
    midnights: midnights(scene.zone, frame.fromMs, frame.toMs),
    labels: sheet.labels,
    legend: legend.items,
  };
}

function drawableScene(scene: Scene): Scene {
  return {
    ...scene,
    title: drawable(scene.title),
    answer: scene.answer.map(drawable),
    marks: scene.marks.map((mark) => ({ ...mark, label: drawable(mark.label) })),
    levels: scene.levels.map(({ leader, ...level }) => ({
      ...level,
      ...(leader === undefined || !canDraw(leader) ? {} : { leader }),
    })),
  };
}

interface Head {
  labels: Label[];
  bottom: number;
}

function headOf(scene: Scene): Head {
  const room = WIDTH - 2 * MARGIN;
  const line = (text: string, y: number, rest: Partial<Label>): Label => ({
    role: 'head',
    text,
    x: MARGIN,
    y,
    anchor: 'start',
    size: ANSWER,
    bold: false,
    tone: 'ink',
    ...rest,
  });
  const answers = scene.answer.flatMap((text) => wrapText(text, room, ANSWER, 2));
  // A page has the trip's name above the picture already.
  if (scene.title === '') {
    return {
      labels: answers.map((text, i) => line(text, 18 + i * 18, {})),
      bottom: answers.length * 18,
    };
  }
  const title = fitText(scene.title, room, TITLE, true);
  const first = 24;
  return {
    labels: [
      line(title, first, { role: 'title', size: TITLE, bold: true }),
      ...answers.map((text, i) => line(text, first + 20 + i * 18, {})),
    ],
    bottom: first + 8 + answers.length * 18,
  };
}

function wordsOnly(scene: Scene, head: Head): Layout {
  const lines = wrapText(scene.note ?? 'Nothing to draw yet.', WIDTH - 2 * MARGIN, ANSWER, 4);
  const labels = lines.map(
    (text, i): Label => ({
      role: 'note',
      text,
      x: MARGIN,
      y: head.bottom + 30 + i * 18,
      anchor: 'start',
      size: ANSWER,
      bold: false,
      tone: 'ink',
    }),
  );
  return {
    scene,
    width: WIDTH,
    height: head.bottom + 44 + lines.length * 18,
    flags: [],
    ticks: [],
    midnights: [],
    labels: [...head.labels, ...labels],
    legend: [],
  };
}

/** Now, then the hours that fit beside it, then the days. Returns the ticks to be drawn. */
function placeAxis(scene: Scene, frame: Frame, sheet: Sheet): Tick[] {
  const bottom = frame.plot.y + frame.plot.height;
  const axis = (role: string, text: string, x: number, y: number): Label => ({
    role,
    text,
    x,
    y,
    anchor: 'middle',
    size: AXIS,
    bold: false,
    tone: 'quiet',
  });
  const nowX = frame.x(scene.nowMs);
  const nowText = `now ${atIn(scene, scene.nowMs)}`;
  const half = textWidth(nowText, AXIS, true) / 2 + 5;
  const x = Math.min(Math.max(nowX, half + 2), WIDTH - half - 2);
  sheet.place([{ ...axis('now', nowText, x, bottom + 16), bold: true, tone: 'ground', tag: true }]);
  const ticks = hourTicks(scene, frame.fromMs, frame.toMs, 7);
  for (const tick of ticks) {
    sheet.place([axis('hour', tick.label, frame.x(tick.atMs), bottom + 16)], 4);
  }
  placeDays(scene, frame, sheet, (text, at) => axis('day', text, at, bottom + 33));
  return ticks;
}

function placeDays(
  scene: Scene,
  frame: Frame,
  sheet: Sheet,
  axis: (text: string, x: number) => Label,
): void {
  const edges = [frame.fromMs, ...midnights(scene.zone, frame.fromMs, frame.toMs), frame.toMs];
  for (const [i, fromMs] of edges.entries()) {
    const toMs = edges[i + 1];
    if (toMs === undefined) break;
    const middleMs = (fromMs + toMs) / 2;
    const words = dayLabel(scene.zone, middleMs);
    const room = frame.x(toMs) - frame.x(fromMs);
    const text = [words, words.slice(0, 3)].find((t) => textWidth(t, AXIS) + 4 <= room);
    if (text !== undefined) sheet.place([axis(text, frame.x(middleMs))]);
  }
}
