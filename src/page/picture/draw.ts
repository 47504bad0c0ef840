import { parseHTML } from 'linkedom';
import { dataMarks } from './data-marks.ts';
import { FAMILY } from './font.ts';
import { boxOf, type Label } from './labels.ts';
import { type Layout, layoutOf } from './layout.ts';
import { type LegendItem, SAMPLE } from './legend.ts';
import { LIGHT, type Palette } from './palette.ts';
import type { Scene } from './scene.ts';
import { strokeOf } from './strokes.ts';

export interface DrawOptions {
  /** Colours, or CSS variables for a page that has them. */
  palette?: Palette;
  /** Words for who can't see it; without them the drawing is hidden from screen readers. */
  alt?: string;
}

/** The picture as an SVG document, the same bytes for the same scene. */
export function drawSvg(scene: Scene, options: DrawOptions = {}): string {
  const layout = layoutOf(scene);
  const palette = options.palette ?? LIGHT;
  const round = (value: number) => Math.round(value * 100) / 100;
  const height = Math.ceil(layout.height);
  const parts = [
    `<rect width="${layout.width}" height="${height}" fill="${palette.ground}"/>`,
    layout.frame === undefined ? '' : plotBody(layout, palette),
    ...layout.flags.map(
      (f) =>
        `<path data-part="mark-line" d="M${round(f.x)},${round(f.topY)}V${round(layout.frame?.plot.y ?? 0)}" fill="none" ${strokeOf(f.mark.binds ? 'binding' : 'mark', palette)}/>`,
    ),
    ...layout.legend.map((item) => sample(item, palette)),
    ...layout.labels.map((label) => text(label, palette)),
  ];
  const said =
    options.alt === undefined
      ? 'aria-hidden="true"'
      : `role="img" aria-label="${escapeXml(options.alt)}"`;
  return (
    `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${layout.width} ${height}" ` +
    `width="${layout.width}" height="${height}" ${said} font-family="${FAMILY}, sans-serif">` +
    `${parts.join('')}</svg>`
  );
}

/** What Plot drew, without its own frame and style sheet (a page's content policy forbids those). */
function plotBody(layout: Layout, palette: Palette): string {
  const { document } = parseHTML('<html><body></body></html>');
  const plot = dataMarks(layout, palette, document);
  const groups = [...plot.children].filter((child) => child.tagName.toLowerCase() !== 'style');
  return groups
    .map((group) => group.outerHTML)
    .join('')
    .replace(/ aria-label="[^"]*"/gu, '')
    .replaceAll(' class="', ' data-part="')
    .replace(/-?\d+\.\d{3,}/gu, (digits) => String(Math.round(Number(digits) * 100) / 100));
}

function sample({ kind, x, y }: LegendItem, palette: Palette): string {
  const end = x + SAMPLE;
  switch (kind) {
    case 'told':
      return (
        `<path d="M${x},${y}H${end}" fill="none" ${strokeOf('told', palette)}/>` +
        `<circle cx="${x + SAMPLE / 2}" cy="${y}" r="4" fill="${palette.ink}"/>`
      );
    case 'planned':
      return `<path d="M${x},${y}H${end}" fill="none" ${strokeOf('planned', palette)}/>`;
    case 'projected':
      return (
        `<rect x="${x}" y="${y - 6}" width="${SAMPLE}" height="12" fill="${palette.fanFill}" ${strokeOf('fan-edge', palette)}/>` +
        `<path d="M${x},${y}H${end}" fill="none" ${strokeOf('projected', palette)}/>`
      );
    case 'rain':
      return [2, 7, 12, 17]
        .map(
          (at) =>
            `<path d="M${x + at},${y - 6}V${y + 6}" fill="none" ${strokeOf('rain', palette)}/>`,
        )
        .join('');
    case 'dark':
      return `<rect x="${x}" y="${y - 6}" width="${SAMPLE}" height="12" fill="${palette.night}" stroke="${palette.quiet}" stroke-width="0.75"/>`;
  }
}

const HALO = new Set(['top-out', 'down']);

function text(label: Label, palette: Palette): string {
  const box = boxOf(label);
  const tag =
    label.tag === true
      ? `<rect x="${box.x.toFixed(2)}" y="${box.y.toFixed(2)}" width="${box.width.toFixed(2)}" height="${box.height.toFixed(2)}" rx="3" fill="${palette.ink}"/>`
      : '';
  const halo = HALO.has(label.role)
    ? ` stroke="${palette.ground}" stroke-width="3" stroke-linejoin="round" paint-order="stroke"`
    : '';
  return (
    `${tag}<text data-part="${label.role}" x="${label.x.toFixed(2)}" y="${label.y.toFixed(2)}" font-size="${label.size}"` +
    ` font-weight="${label.bold ? 700 : 400}" text-anchor="${label.anchor}" fill="${palette[label.tone]}"${halo}>` +
    `${escapeXml(label.text)}</text>`
  );
}

/** For text and attribute values. Control characters have no place in XML 1.0 and are left out. */
export function escapeXml(value: string): string {
  return (
    value
      // biome-ignore lint/suspicious/noControlCharactersInRegex: taking them out is the purpose.
      .replace(/[\u0000-\u0008\u000b\u000c\u000e-\u001f\ufffe\uffff]|\p{Surrogate}/gu, '')
      .replace(/&/g, '&amp;')
      .replace(/</g, '&lt;')
      .replace(/>/g, '&gt;')
      .replace(/"/g, '&quot;')
  );
}
