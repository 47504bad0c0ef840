import { drawPng } from './png.ts';
import type { Scene } from './scene.ts';

const HOUR_MS = 3_600_000;

/** One of everything that takes a mark of its own. */
const SCENE: Scene = {
  title: 'Warm-up',
  answer: ['Drawn for nobody.'],
  zone: 'UTC',
  units: 'm',
  nowMs: HOUR_MS,
  levels: [1, 2].map((pitch) => ({
    pitch,
    heightM: pitch * 40,
    leader: 'A',
    done: pitch < 2,
    bivy: pitch > 1,
  })),
  planned: [1, 2].map((i) => ({ atMs: i * HOUR_MS, heightM: i * 40 })),
  actual: [0, 1].map((i) => ({ atMs: i * HOUR_MS, heightM: i * 40 })),
  fan: [1, 2].map((i) => ({ heightM: i * 40, q10: i * HOUR_MS, q50: i * HOUR_MS, q90: i * 2e6 })),
  descending: false,
  down: { fromMs: 2 * HOUR_MS, fromM: 80, q10: 8e6, q50: 9e6, q90: 1e7 },
  nights: [{ fromMs: 2 * HOUR_MS, toMs: 5 * HOUR_MS }],
  marks: [{ atMs: 3 * HOUR_MS, kind: 'cutoff', label: 'Dark 03:00', binds: true, heightM: 80 }],
};

/**
 * Draws one picture for nobody, so that the first one a person waits for holds nobody up: the first
 * drawing takes several times as long while the code is being compiled.
 */
export async function warmUpPictures(): Promise<void> {
  await drawPng(SCENE);
}
