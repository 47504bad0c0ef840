import type { Forecast } from '../../forecast/model.ts';
import type { FileOut } from '../../say/reply.ts';
import type { TripState } from '../../trip/state.ts';
import { altOf } from './alt.ts';
import { drawPng } from './png.ts';
import { sceneOf } from './scene-of.ts';

/** The picture of a trip for an answer; undefined without a topo, when there is nothing to draw. */
export async function pictureFile(
  state: TripState,
  forecast: Forecast | undefined,
  nowMs: number,
): Promise<FileOut | undefined> {
  if (state.pitches.length === 0) return undefined;
  const scene = sceneOf(state, forecast, nowMs);
  return { name: 'trip.png', mime: 'image/png', bytes: await drawPng(scene), alt: altOf(scene) };
}
