import * as Plot from '@observablehq/plot';
import type { Frame } from './frame.ts';
import type { Layout } from './layout.ts';
import type { Palette } from './palette.ts';
import { downLine } from './points.ts';
import { currentLevel, type FanPoint, type Scene } from './scene.ts';
import { strokes } from './strokes.ts';

/** The part of linkedom's (or a browser's) elements that is read here. */
export interface DrawnElement {
  tagName: string;
  outerHTML: string;
  children: Iterable<DrawnElement>;
}

/** Everything that stands for a number: drawn by Plot on the frame's own scales. */
export function dataMarks(layout: Layout, palette: Palette, document: unknown): DrawnElement {
  const { frame, scene } = layout;
  if (frame === undefined) throw new Error('a picture without levels has no plot');
  const { plot } = frame;
  const options = {
    document,
    width: layout.width,
    height: layout.height,
    x: {
      type: 'linear',
      axis: null,
      domain: [frame.fromMs, frame.toMs],
      range: [plot.x, plot.x + plot.width],
    },
    y: {
      type: 'linear',
      axis: null,
      domain: [frame.lowM, frame.highM],
      range: [plot.y + plot.height, plot.y],
    },
    marks: [
      nights(scene, frame, palette),
      rain(scene, frame, palette),
      grid(layout, frame, palette),
      fan(scene, frame, palette),
      planned(scene, palette),
      lines(layout, frame, palette),
      down(scene, palette),
      told(scene, palette),
    ].flat(),
  };
  return Plot.plot(options as Plot.PlotOptions) as unknown as DrawnElement;
}

function nights(scene: Scene, frame: Frame, palette: Palette) {
  const spans = scene.nights
    .map((n) => ({
      x1: Math.max(n.fromMs, frame.fromMs),
      x2: Math.min(n.toMs, frame.toMs),
      y1: frame.lowM,
      y2: frame.highM,
    }))
    .filter((n) => n.x2 > n.x1);
  const upright = { y1: frame.lowM, y2: frame.highM };
  const ends = scene.nights.flatMap((n) => [n.fromMs, n.toMs]);
  // Where one night follows on another it doesn't get light: no edge.
  const edges = ends
    .filter((ms) => ends.indexOf(ms) === ends.lastIndexOf(ms))
    .filter((ms) => ms > frame.fromMs && ms < frame.toMs);
  return [
    Plot.rect(spans, {
      x1: 'x1',
      x2: 'x2',
      y1: 'y1',
      y2: 'y2',
      fill: palette.night,
      className: 'night',
    }),
    Plot.ruleX(edges, { ...upright, stroke: palette.nightEdge, className: 'night-edge' }),
  ];
}

/** Between two falls of rain there are so many minutes of the axis: enough to be seen, and told from a single line. */
const FALL_MS = 20 * 60_000;

/** Thin broken lines through the hours for which rain was told: the likelier, the denser. */
function rain(scene: Scene, frame: Frame, palette: Palette) {
  const falls = (scene.rains ?? []).flatMap(({ fromMs, toMs, chance }) => {
    const step = FALL_MS / Math.max(0.2, chance);
    const [from, to] = [Math.max(fromMs, frame.fromMs), Math.min(toMs, frame.toMs)];
    const count = Math.max(0, Math.min(400, Math.floor((to - from) / step)));
    return Array.from({ length: count }, (_, i) => from + (i + 0.5) * step);
  });
  return Plot.ruleX(falls, {
    y1: frame.lowM,
    y2: frame.highM,
    ...strokes('rain', palette),
    className: 'rain',
  });
}

function grid({ scene, ticks, midnights }: Layout, frame: Frame, palette: Palette) {
  const { fromMs, toMs, lowM, highM } = frame;
  const anchors = scene.levels.map((l) => l.heightM);
  const next = currentLevel(scene);
  const span = { x1: fromMs, x2: toMs };
  const perM = frame.plot.height / (highM - lowM);
  return [
    Plot.ruleY([0, ...anchors], { ...span, stroke: palette.hair, className: 'anchor' }),
    Plot.ruleX(midnights, {
      // Beside the names of the days, below the hours.
      y1: lowM - 37 / perM,
      y2: lowM - 23 / perM,
      stroke: palette.quiet,
      className: 'midnight',
    }),
    Plot.ruleY([lowM], { ...span, stroke: palette.ink, className: 'base' }),
    Plot.ruleX(
      ticks.map((t) => t.atMs),
      { y1: lowM, y2: lowM + 5 / perM, stroke: palette.ink, className: 'tick' },
    ),
    // A bar beside the pitch under way, so that the eye finds it without colour.
    Plot.ruleX(next === undefined ? [] : [fromMs], {
      y1: scene.levels[(next?.pitch ?? 0) - 2]?.heightM ?? 0,
      y2: next?.heightM ?? 0,
      stroke: palette.ink,
      strokeWidth: 5,
      className: 'current',
    }),
  ];
}

/** Where no end is found one time in ten, the band runs out of the picture. */
function fan(scene: Scene, frame: Frame, palette: Palette) {
  const end = (ms: number) => Math.min(ms, frame.toMs);
  const shown = scene.fan.filter((f) => Number.isFinite(f.q10));
  const edge = (name: string, q: 'q10' | 'q90') =>
    Plot.line(
      shown.filter((f) => Number.isFinite(f[q])),
      { x: q, y: 'heightM', ...strokes('fan-edge', palette), className: name },
    );
  return [
    Plot.areaX(shown, {
      y: 'heightM',
      x1: 'q10',
      x2: (f: FanPoint) => end(f.q90),
      fill: palette.fanFill,
      fillOpacity: 0.85,
      className: 'fan',
    }),
    edge('fan-early', 'q10'),
    edge('fan-late', 'q90'),
    Plot.line(
      shown.filter((f) => Number.isFinite(f.q50)),
      { x: 'q50', y: 'heightM', ...strokes('projected', palette), className: 'projected' },
    ),
  ];
}

function planned(scene: Scene, palette: Palette) {
  return Plot.line(scene.planned, {
    x: 'atMs',
    y: 'heightM',
    ...strokes('planned', palette),
    className: 'planned',
  });
}

function lines({ flags, scene }: Layout, frame: Frame, palette: Palette) {
  const upright = { y1: frame.lowM, y2: frame.highM };
  const marks = flags.map((f) => f.mark);
  const rule = (binds: boolean) =>
    Plot.ruleX(
      marks.filter((m) => m.binds === binds).map((m) => m.atMs),
      {
        ...upright,
        ...strokes(binds ? 'binding' : 'mark', palette),
        className: binds ? 'binding' : 'mark',
      },
    );
  return [
    rule(false),
    rule(true),
    Plot.dot(
      marks.filter((m) => m.heightM !== undefined),
      {
        x: 'atMs',
        y: 'heightM',
        symbol: 'diamond',
        r: 6,
        fill: palette.mark,
        stroke: palette.ground,
        className: 'by-then',
      },
    ),
    Plot.ruleX([scene.nowMs], { ...upright, ...strokes('now', palette), className: 'now' }),
  ];
}

/** The way down to the trailhead, with the span it is likely to end in. */
function down(scene: Scene, palette: Palette) {
  const end = scene.down;
  if (end === undefined || !Number.isFinite(end.q50)) return [];
  const late = Number.isFinite(end.q90) ? end.q90 : end.q50;
  return [
    Plot.line(downLine(end), {
      x: 'atMs',
      y: 'heightM',
      ...strokes('projected', palette),
      className: 'down',
    }),
    Plot.ruleY([0], {
      x1: end.q10,
      x2: late,
      stroke: palette.fanEdge,
      strokeWidth: 5,
      className: 'down-span',
    }),
    Plot.dot([{ atMs: end.q50, heightM: 0 }], {
      x: 'atMs',
      y: 'heightM',
      r: 4,
      fill: palette.ground,
      stroke: palette.fanEdge,
      strokeWidth: 2,
      className: 'down-end',
    }),
  ];
}

/** What was told, and the wait since then at the height where it was last. */
function told(scene: Scene, palette: Palette) {
  const last = scene.actual.at(-1);
  const waiting =
    last === undefined || scene.descending || last.atMs >= scene.nowMs
      ? []
      : [last, { ...last, atMs: scene.nowMs }];
  return [
    Plot.line(waiting, {
      x: 'atMs',
      y: 'heightM',
      ...strokes('waiting', palette),
      className: 'waiting',
    }),
    Plot.line(scene.actual, {
      x: 'atMs',
      y: 'heightM',
      ...strokes('told', palette),
      className: 'told',
    }),
    Plot.dot(scene.actual, {
      x: 'atMs',
      y: 'heightM',
      r: scene.actual.length > 20 ? 3 : 4,
      fill: palette.ink,
      stroke: palette.ground,
      className: 'told-point',
    }),
    Plot.dot(waiting.slice(1), {
      x: 'atMs',
      y: 'heightM',
      r: 5,
      fill: palette.ground,
      stroke: palette.ink,
      strokeWidth: 2.5,
      className: 'here',
    }),
  ];
}
