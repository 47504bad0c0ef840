import { renderAsync } from '@resvg/resvg-js';
import { expect, test } from 'vitest';
import { drawSvg } from '../../../src/page/picture/draw.ts';
import { FONT_OPTIONS } from '../../../src/page/picture/font.ts';
import { indexedPng } from '../../../src/page/picture/indexed-png.ts';
import { LIGHT } from '../../../src/page/picture/palette.ts';
import { rasterise } from '../../../src/page/picture/png.ts';
import { SCENES } from '../../pictures/scenes.ts';

/** Read back by the PNG reader of resvg (the Rust crate `png`), which knows nothing of ours. */
async function readBack(png: Uint8Array, width: number, height: number): Promise<Uint8Array> {
  const data = `data:image/png;base64,${Buffer.from(png).toString('base64')}`;
  const svg =
    `<svg xmlns="http://www.w3.org/2000/svg" width="${width}" height="${height}">` +
    `<image href="${data}" width="${width}" height="${height}" image-rendering="optimizeSpeed"/></svg>`;
  return (await renderAsync(svg)).pixels;
}

async function painted(name: string) {
  const svg = drawSvg((SCENES[name] as (typeof SCENES)[string])());
  const zoom = { mode: 'zoom', value: 2 } as const;
  return renderAsync(svg, { font: FONT_OPTIONS, fitTo: zoom });
}

test('a picture shows what was painted: flat colours exactly, the shades at edges nearly', async () => {
  const { width, height, pixels } = await painted('three days');
  expect(pixels.length).toBe(4 * width * height);
  const png = (await indexedPng({ width, height, bytes: pixels })) as Uint8Array;
  const read = await readBack(png, width, height);
  expect(read.length).toBe(pixels.length);
  let squares = 0;
  let worst = 0;
  for (let i = 0; i < read.length; i++) {
    const off = Math.abs((read[i] as number) - (pixels[i] as number));
    squares += off * off;
    worst = Math.max(worst, off);
  }
  // 40 dB and more is taken for the same picture by eye; common practice, no source.
  expect(10 * Math.log10(255 ** 2 / (squares / read.length))).toBeGreaterThan(40);
  expect(worst).toBeLessThan(48);
  const met = new Set<number>();
  const view = Buffer.from(read.buffer, read.byteOffset, read.length);
  for (let at = 0; at < read.length; at += 4) met.add(view.readUIntBE(at, 3));
  for (const colour of [LIGHT.ground, LIGHT.ink, LIGHT.night, LIGHT.fanFill]) {
    expect(met).toContain(Number.parseInt(colour.slice(1), 16));
  }
});

test('every picture is light on a thin connection', async () => {
  for (const [name, make] of Object.entries(SCENES)) {
    const png = await rasterise(drawSvg(make()));
    expect(png.length, name).toBeLessThan(60_000);
  }
});

test('one of few colours is exact, pixel by pixel, whatever its width', async () => {
  const colours = [0xffffff, 0x111111, 0x9a2f00, 0x0b5a9c];
  for (const [width, height] of [
    [1, 1],
    [7, 3],
    [64, 5],
  ] as const) {
    const bytes = new Uint8Array(4 * width * height);
    for (let i = 0; i < width * height; i++) {
      const c = colours[(i * 7) % colours.length] as number;
      bytes.set([c >> 16, (c >> 8) & 255, c & 255, 255], 4 * i);
    }
    const png = (await indexedPng({ width, height, bytes })) as Uint8Array;
    expect([...(await readBack(png, width, height))]).toEqual([...bytes]);
  }
});

test('what is see-through keeps its whole colours', async () => {
  const bytes = Uint8Array.of(1, 2, 3, 255, 1, 2, 3, 254);
  expect(await indexedPng({ width: 2, height: 1, bytes })).toBeUndefined();
});
