import { setImmediate } from 'node:timers/promises';
import { promisify } from 'node:util';
import { crc32, deflate } from 'node:zlib';

const packed = promisify(deflate);

/** Colours a palette can hold (PNG, third edition, 11.2.2: PLTE has 1 to 256 entries). */
const COLOURS = 256;
/** Colours are told apart by so many bits of each channel: what falls together can't be told apart by eye. */
const BITS = 5;
const BUCKETS = 1 << (3 * BITS);

/** Pixels as red, green, blue and alpha, a byte each, row by row from the top. */
export interface Pixels {
  width: number;
  height: number;
  bytes: Uint8Array;
}

/**
 * A picture of few colours as PNG with a palette: about half the bytes of one with whole colours. Flat colours
 * stay exactly what they are; the many shades at the edges of letters and lines are joined. Undefined for a
 * picture with anything see-through, which a palette would spoil. Packed beside the event loop.
 *
 * PNG (third edition, w3.org/TR/png-3): signature, IHDR, PLTE, IDAT, IEND; every line unfiltered, as is best for
 * palettes (12.7).
 */
export async function indexedPng({
  width,
  height,
  bytes,
}: Pixels): Promise<Uint8Array | undefined> {
  const buckets = bucketsOf(bytes);
  if (buckets === undefined) return undefined;
  // Two looks at every pixel, of some milliseconds each: others get their turn in between.
  await setImmediate();
  const { palette, indexOf } = paletteOf(buckets);
  const stride = width + 1;
  const lines = new Uint8Array(stride * height);
  for (let y = 0, from = 0; y < height; y++) {
    // The first byte of a line is its filter: 0, none.
    for (let x = 1; x <= width; x++, from += 4) {
      lines[y * stride + x] = indexOf[bucket(bytes, from)] as number;
    }
  }
  const header = new DataView(new ArrayBuffer(13));
  header.setUint32(0, width);
  header.setUint32(4, height);
  // Bits of a sample, colours by palette; then the only methods there are, not interlaced.
  header.setUint8(8, 8);
  header.setUint8(9, 3);
  return Buffer.concat([
    Uint8Array.of(0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a),
    chunk('IHDR', new Uint8Array(header.buffer)),
    chunk('PLTE', palette),
    chunk('IDAT', await packed(lines, { level: 9 })),
    chunk('IEND', new Uint8Array(0)),
  ]);
}

function chunk(type: string, data: Uint8Array): Uint8Array {
  const named = Buffer.concat([Buffer.from(type, 'latin1'), data]);
  const ends = Buffer.alloc(8);
  ends.writeUInt32BE(data.length, 0);
  ends.writeUInt32BE(crc32(named), 4);
  return Buffer.concat([ends.subarray(0, 4), named, ends.subarray(4)]);
}

const bucket = (bytes: Uint8Array, at: number): number =>
  (((bytes[at] as number) >> (8 - BITS)) << (2 * BITS)) |
  (((bytes[at + 1] as number) >> (8 - BITS)) << BITS) |
  ((bytes[at + 2] as number) >> (8 - BITS));

interface Buckets {
  /** Pixels in each. */
  count: Uint32Array;
  /** The colour that most pixels of each have, where one has more than half: flat colours stay exact. */
  colour: Uint32Array;
}

/** Undefined where anything is see-through. */
function bucketsOf(bytes: Uint8Array): Buckets | undefined {
  const count = new Uint32Array(BUCKETS);
  const colour = new Uint32Array(BUCKETS);
  // Boyer and Moore, MJRTY (1991): the candidate that is left when votes for and against cancel out.
  const votes = new Int32Array(BUCKETS);
  for (let at = 0; at < bytes.length; at += 4) {
    if (bytes[at + 3] !== 255) return undefined;
    const b = bucket(bytes, at);
    const rgb =
      ((bytes[at] as number) << 16) | ((bytes[at + 1] as number) << 8) | (bytes[at + 2] as number);
    count[b] = (count[b] as number) + 1;
    if (votes[b] === 0) colour[b] = rgb;
    votes[b] = (votes[b] as number) + (colour[b] === rgb ? 1 : -1);
  }
  return { count, colour };
}

/** The colours met most often, and for every bucket the nearest of them. */
function paletteOf({ count, colour }: Buckets): { palette: Uint8Array; indexOf: Uint8Array } {
  const met: number[] = [];
  for (let b = 0; b < BUCKETS; b++) if ((count[b] as number) > 0) met.push(b);
  met.sort((a, b) => (count[b] as number) - (count[a] as number) || a - b);
  const chosen = met.slice(0, COLOURS).map((b) => colour[b] as number);
  const palette = Uint8Array.from(chosen.flatMap((c) => [c >> 16, (c >> 8) & 255, c & 255]));
  const indexOf = new Uint8Array(BUCKETS);
  met.forEach((b, i) => {
    indexOf[b] = i < COLOURS ? i : nearest(palette, colour[b] as number);
  });
  return { palette, indexOf };
}

function nearest(palette: Uint8Array, colour: number): number {
  const [r, g, b] = [colour >> 16, (colour >> 8) & 255, colour & 255];
  let best = 0;
  let least = Number.POSITIVE_INFINITY;
  for (let i = 0; i < palette.length; i += 3) {
    const [dr, dg, db] = [
      (palette[i] as number) - r,
      (palette[i + 1] as number) - g,
      (palette[i + 2] as number) - b,
    ];
    const far = dr * dr + dg * dg + db * db;
    if (far < least) [best, least] = [i / 3, far];
  }
  return best;
}
