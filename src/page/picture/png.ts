import { Resvg } from '@resvg/resvg-js';
import { drawSvg } from './draw.ts';
import { FONT_OPTIONS } from './font.ts';
import type { Scene } from './scene.ts';

/** Pixels for each unit of the picture: sharp on a phone, and light on a thin connection. */
const SCALE = 2;

/** An SVG as PNG, with no font but the shipped one. */
export function rasterise(svg: string, scale = SCALE): Uint8Array {
  return new Resvg(svg, { font: FONT_OPTIONS, fitTo: { mode: 'zoom', value: scale } })
    .render()
    .asPng();
}

export function drawPng(scene: Scene): Uint8Array {
  return rasterise(drawSvg(scene));
}
