import type { Frame } from './frame.ts';
import type { Label, Sheet } from './labels.ts';
import { atIn, type Mark, type Point, type Scene, topOf } from './scene.ts';

const SIZE = 12.5;
/** Half-width of the room a line takes from labels. */
const REACH = 3;

/** Keeps labels off every line: boxes along them, close enough that no label fits between. */
export function blockData(scene: Scene, frame: Frame, marks: readonly Mark[], sheet: Sheet): void {
  const { plot } = frame;
  for (const atMs of [scene.nowMs, ...marks.map((m) => m.atMs)]) {
    sheet.block({ x: frame.x(atMs) - 1, y: plot.y, width: 2, height: plot.height });
  }
  const { fan, down } = scene;
  const edge = (q: 'q10' | 'q50' | 'q90') =>
    fan.filter((f) => Number.isFinite(f[q])).map((f) => ({ atMs: f[q], heightM: f.heightM }));
  const lines = [scene.actual, scene.planned, edge('q10'), edge('q50'), edge('q90')];
  if (down !== undefined && Number.isFinite(down.q50)) lines.push(downLine(down));
  for (const line of lines) blockLine(line, frame, sheet);
}

export function downLine(down: NonNullable<Scene['down']>): Point[] {
  return [
    { atMs: down.fromMs, heightM: down.fromM },
    { atMs: down.q50, heightM: 0 },
  ];
}

function blockLine(line: readonly Point[], frame: Frame, sheet: Sheet): void {
  for (const [i, to] of line.entries()) {
    const from = line[i - 1] ?? to;
    const [x1, y1, x2, y2] = [
      frame.x(from.atMs),
      frame.y(from.heightM),
      frame.x(to.atMs),
      frame.y(to.heightM),
    ];
    const steps = Math.max(1, Math.ceil(Math.hypot(x2 - x1, y2 - y1) / REACH));
    for (let s = 0; s <= steps; s++) {
      const x = x1 + ((x2 - x1) * s) / steps;
      const y = y1 + ((y2 - y1) * s) / steps;
      sheet.block({ x: x - REACH, y: y - REACH, width: 2 * REACH, height: 2 * REACH });
    }
  }
}

/** Words inside the plot, the more telling first; those without room are left out. */
export function placePoints(scene: Scene, frame: Frame, sheet: Sheet): void {
  const at = (ms: number) => atIn(scene, ms);
  const named = (name: string, ms: number) =>
    scene.topIsOpen === true ? [name] : [`${name} ${at(ms)}`, at(ms)];
  const top = scene.fan.at(-1);
  if (top !== undefined && Number.isFinite(top.q50) && top.heightM === topOf(scene)) {
    around(sheet, 'top-out', named('top', top.q50), frame.x(top.q50), frame.y(top.heightM));
  }
  const { down } = scene;
  if (down !== undefined && Number.isFinite(down.q50)) {
    around(sheet, 'down', named('down', down.q50), frame.x(down.q50), frame.y(0));
  }
  for (const night of scene.nights) {
    const from = Math.max(frame.x(night.fromMs), frame.plot.x);
    const to = Math.min(frame.x(night.toMs), frame.plot.x + frame.plot.width);
    const heights = [0.04, 0.9, 0.2, 0.7, 0.45];
    const places = heights.map((share) => ({
      ...words(
        'night',
        'dark',
        (from + to) / 2,
        frame.plot.y + frame.plot.height * (1 - share) - 4,
      ),
      anchor: 'middle' as const,
      tone: 'quiet' as const,
    }));
    if (to - from > 30) sheet.place(places);
  }
  for (const level of scene.levels.filter((l) => l.bivy && !l.done)) {
    const right = frame.plot.x + frame.plot.width - 3;
    const y = frame.y(level.heightM) - 3;
    const places = [right, frame.plot.x + 32].map((x) => ({
      ...words('bivy', 'bivy', x, y),
      anchor: 'end' as const,
      tone: 'quiet' as const,
    }));
    sheet.place(places);
  }
}

function words(role: string, text: string, x: number, y: number): Label {
  return { role, text, x, y, anchor: 'start', size: SIZE, bold: false, tone: 'ink' };
}

/** Beside a point: above left, above right, then farther out; the shorter text when all is taken. */
function around(sheet: Sheet, role: string, texts: readonly string[], x: number, y: number): void {
  const places = texts.flatMap((text) =>
    [8, 22].flatMap((up) => [
      ...[8, 14].flatMap((aside): Label[] => [
        { ...words(role, text, x - aside, y - up), anchor: 'end', bold: true },
        { ...words(role, text, x + aside, y - up), bold: true },
      ]),
      { ...words(role, text, x, y - up), anchor: 'middle' as const, bold: true },
    ]),
  );
  sheet.place(places);
}
