import { renderAsync } from '@resvg/resvg-js';
import { drawSvg } from './draw.ts';
import { FONT_OPTIONS } from './font.ts';
import { indexedPng } from './indexed-png.ts';
import type { Scene } from './scene.ts';

/** Pixels for each unit of the picture: sharp on a phone, and light on a thin connection. */
const SCALE = 2;

/**
 * An SVG as PNG, with no font but the shipped one, by a palette, so that it is light on a thin connection.
 * Painted and packed beside the event loop, which is held while the colours are counted.
 */
export async function rasterise(svg: string, scale = SCALE): Promise<Uint8Array> {
  const zoom = { mode: 'zoom', value: scale } as const;
  const image = await renderAsync(svg, { font: FONT_OPTIONS, fitTo: zoom });
  const { width, height, pixels: bytes } = image;
  return (await indexedPng({ width, height, bytes })) ?? image.asPng();
}

export function drawPng(scene: Scene): Promise<Uint8Array> {
  return rasterise(drawSvg(scene));
}
