import type { Box } from './labels.ts';
import { type Scene, topOf } from './scene.ts';

/**
 * Width of a picture in its own units: a narrow phone has as many CSS pixels across, so that on a
 * page the smallest words are 12 of them high, and in a chat, which leaves room beside, 10.
 */
export const WIDTH = 360;

const LEFT = 78;
const RIGHT = 14;
/** Room above the top level, so that its words and dot don't touch the frame. */
const HEADROOM = 26;
const FOOTROOM = 8;

/** Where time and height lie in the picture. */
export interface Frame {
  plot: Box;
  fromMs: number;
  toMs: number;
  /** Height at the lower and the upper edge of the plot, metres. */
  lowM: number;
  highM: number;
  x(atMs: number): number;
  y(heightM: number): number;
}

/** More pitches get a taller picture, up to what a phone shows without scrolling. */
export function plotHeight(levels: number): number {
  return Math.min(300 + Math.max(0, levels - 14) * 7, 460);
}

export function frameOf(scene: Scene, topY: number): Frame {
  const { fromMs, toMs } = spanOf(scene);
  const height = plotHeight(scene.levels.length);
  const plot = { x: LEFT, y: topY, width: WIDTH - LEFT - RIGHT, height };
  const topM = Math.max(topOf(scene), 1);
  const perM = (height - HEADROOM - FOOTROOM) / topM;
  return {
    plot,
    fromMs,
    toMs,
    lowM: -FOOTROOM / perM,
    highM: topM + HEADROOM / perM,
    x: (atMs) => plot.x + ((atMs - fromMs) / (toMs - fromMs)) * plot.width,
    y: (heightM) => plot.y + HEADROOM + (topM - heightM) * perM,
  };
}

/** The marks a picture has room for: what binds first, then the earlier. */
export function shownMarks(scene: Scene): Scene['marks'] {
  const core = coreSpan(scene);
  const latest = core.toMs + 0.6 * (core.toMs - core.fromMs);
  return [...scene.marks]
    .filter((m) => m.binds || (m.atMs >= core.fromMs && m.atMs <= latest))
    .sort((a, b) => Number(b.binds) - Number(a.binds) || a.atMs - b.atMs)
    .slice(0, MARKS_MAX)
    .sort((a, b) => a.atMs - b.atMs);
}

const MARKS_MAX = 6;
const HOUR_MS = 3_600_000;

function spanOf(scene: Scene): { fromMs: number; toMs: number } {
  const core = coreSpan(scene);
  const times = [core.fromMs, core.toMs, ...shownMarks(scene).map((m) => m.atMs)];
  const fromMs = Math.min(...times);
  const toMs = Math.max(...times, fromMs + HOUR_MS);
  const pad = (toMs - fromMs) * 0.03;
  return { fromMs: fromMs - pad, toMs: toMs + pad };
}

/** What happened, is planned and is projected, without the lines of other times. */
function coreSpan(scene: Scene): { fromMs: number; toMs: number } {
  const times = [
    scene.nowMs,
    ...scene.actual.map((p) => p.atMs),
    ...scene.planned.map((p) => p.atMs),
    ...scene.fan.flatMap((f) => [f.q10, f.q50, f.q90]),
    ...(scene.down === undefined ? [] : [scene.down.q10, scene.down.q50, scene.down.q90]),
  ].filter(Number.isFinite);
  return { fromMs: Math.min(...times), toMs: Math.max(...times) };
}
