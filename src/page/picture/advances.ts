import { readFileSync } from 'node:fs';

/**
 * Advance widths of a TrueType font in em, by character, for the characters of the Basic Multilingual
 * Plane up to `last`, and of the glyph for a missing one under the empty string. Table layouts are
 * those of OpenType (ISO/IEC 14496-22): head, hhea, hmtx, and cmap's format 4.
 *
 * @throws Error when the font has no such character map
 */
export function advancesOf(file: string, last: number): ReadonlyMap<string, number> {
  const font = readFileSync(file);
  const at = tablesOf(font);
  const unitsPerEm = font.readUInt16BE(at('head') + 18);
  const metrics = font.readUInt16BE(at('hhea') + 34);
  const glyphOf = characterMap(font, at('cmap'));
  // Glyphs beyond the last metric are as wide as it.
  const width = (glyph: number) =>
    font.readUInt16BE(at('hmtx') + 4 * Math.min(glyph, metrics - 1)) / unitsPerEm;
  const known = Array.from({ length: last + 1 }, (_, code) => [code, glyphOf(code)] as const)
    .filter(([, glyph]) => glyph !== 0)
    .map(([code, glyph]) => [String.fromCharCode(code), width(glyph)] as const);
  return new Map([['', width(0)], ...known]);
}

/** Where each table begins. */
function tablesOf(font: Buffer): (tag: string) => number {
  const tables = Array.from({ length: font.readUInt16BE(4) }, (_, i): [string, number] => {
    const record = 12 + 16 * i;
    return [font.toString('latin1', record, record + 4), font.readUInt32BE(record + 8)];
  });
  const starts = new Map(tables);
  return (tag) => {
    const start = starts.get(tag);
    if (start === undefined) throw new Error(`a font without a table ${tag}`);
    return start;
  };
}

/** Glyph of a code point by the segments of format 4; 0 where there is none. */
function characterMap(font: Buffer, cmap: number): (code: number) => number {
  const maps = Array.from(
    { length: font.readUInt16BE(cmap + 2) },
    (_, i) => cmap + font.readUInt32BE(cmap + 8 + 8 * i),
  );
  const map = maps.find((start) => font.readUInt16BE(start) === 4);
  if (map === undefined) throw new Error('a font without a character map of format 4');
  const twice = font.readUInt16BE(map + 6);
  const segments = Array.from({ length: twice / 2 }, (_, i) => {
    const range = map + 16 + 3 * twice + 2 * i;
    return {
      end: font.readUInt16BE(map + 14 + 2 * i),
      start: font.readUInt16BE(map + 16 + twice + 2 * i),
      delta: font.readUInt16BE(map + 16 + 2 * twice + 2 * i),
      range,
      offset: font.readUInt16BE(range),
    };
  });
  return (code) => {
    const segment = segments.find(({ end }) => end >= code);
    if (segment === undefined || segment.start > code) return 0;
    const { start, delta, range, offset } = segment;
    if (offset === 0) return (code + delta) & 0xffff;
    const glyph = font.readUInt16BE(range + offset + 2 * (code - start));
    return glyph === 0 ? 0 : (glyph + delta) & 0xffff;
  };
}
