import { renderAsync } from '@resvg/resvg-js';
import { drawSvg } from './draw.ts';
import { FONT_OPTIONS } from './font.ts';
import type { Scene } from './scene.ts';

/** Pixels for each unit of the picture: sharp on a phone, and light on a thin connection. */
const SCALE = 2;

/**
 * An SVG as PNG, with no font but the shipped one. Painted beside the event loop, which is held for
 * the packing only: about 15 ms, where doing it all at once took 40 [measured, three days].
 */
export async function rasterise(svg: string, scale = SCALE): Promise<Uint8Array> {
  const zoom = { mode: 'zoom', value: scale } as const;
  const image = await renderAsync(svg, { font: FONT_OPTIONS, fitTo: zoom });
  return image.asPng();
}

export function drawPng(scene: Scene): Promise<Uint8Array> {
  return rasterise(drawSvg(scene));
}
