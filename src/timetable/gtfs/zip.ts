import { crc32 } from 'node:zlib';
import { type Entry, fromBufferPromise, type ZipFile } from 'yauzl';
import type { GtfsLimits } from './limits.ts';
import { FeedError } from './refusal.ts';

const STORED = 0;
const DEFLATED = 8;
const ENCRYPTED = 1;

/** A feed opened for reading: its files by name, streamed one at a time from the bytes. */
export interface FeedZip {
  has(file: string): boolean;
  /**
   * Unpacks a file, a piece at a time. It fails once it gives more than the zip's directory promised,
   * and at the end where its checksum isn't the one that the directory has.
   */
  open(file: string): Promise<AsyncIterable<Buffer>>;
}

/**
 * Opens a zip of GTFS files held in memory. Only the directory is read here; sizes and packing are
 * judged by it before anything is unpacked, and yauzl holds each stream to the size promised, so a
 * directory that lies gains nothing.
 *
 * @throws FeedError for what isn't a zip, is too large, or keeps its files in a folder
 */
export async function openFeed(bytes: Uint8Array, limits: GtfsLimits): Promise<FeedZip> {
  if (bytes.byteLength > limits.zipBytes) {
    throw new FeedError({
      reason: `The zip has ${size(bytes.byteLength)}; up to ${size(limits.zipBytes)} are read.`,
    });
  }
  const buffer = Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const zip = await fromBufferPromise(buffer, { lazyEntries: true }).catch((error: Error) => {
    throw new FeedError({ reason: `This isn't a zip that can be read: ${plain(error)}.` });
  });
  const entries = await directoryOf(zip, limits);
  return {
    has: (file) => entries.has(file),
    open: async (file) => {
      const entry = entries.get(file);
      if (!entry) throw new FeedError({ file, reason: missing(file, entries) });
      assertEntry(file, entry, limits);
      const stream = await zip.openReadStreamPromise(entry).catch((error: Error) => {
        throw new FeedError({ file, reason: `It can't be unpacked: ${plain(error)}.` });
      });
      return checked(stream, file, entry.crc32);
    },
  };
}

/** The pieces as they come; an error at the end when they aren't what was packed (ZIP's CRC-32). */
async function* checked(
  stream: AsyncIterable<Buffer>,
  file: string,
  wanted: number,
): AsyncGenerator<Buffer> {
  let sum = 0;
  for await (const piece of stream) {
    sum = crc32(piece, sum);
    yield piece;
  }
  if (sum !== wanted) {
    throw new FeedError({ file, reason: "It is damaged: its checksum isn't the zip's." });
  }
}

function directoryOf(zip: ZipFile, limits: GtfsLimits): Promise<Map<string, Entry>> {
  const entries = new Map<string, Entry>();
  return new Promise((resolve, reject) => {
    const fail = (reason: string) => reject(new FeedError({ reason }));
    zip.on('error', (error: Error) => fail(`The zip is damaged: ${plain(error)}.`));
    zip.on('end', () => resolve(entries));
    zip.on('entry', (entry: Entry) => {
      if (entries.size >= limits.entries) {
        fail(`The zip has more than ${limits.entries} files.`);
        return;
      }
      entries.set(entry.fileName, entry);
      zip.readEntry();
    });
    zip.readEntry();
  });
}

function assertEntry(file: string, entry: Entry, limits: GtfsLimits): void {
  const { uncompressedSize, compressedSize, compressionMethod } = entry;
  const refuse = (reason: string) => new FeedError({ file, reason });
  if (entry.generalPurposeBitFlag & ENCRYPTED) throw refuse('It is encrypted.');
  if (compressionMethod !== STORED && compressionMethod !== DEFLATED) {
    throw refuse('It is packed in a way other than deflate.');
  }
  if (uncompressedSize > limits.entryBytes) {
    throw refuse(
      `It has ${size(uncompressedSize)} unpacked; up to ${size(limits.entryBytes)} are read.`,
    );
  }
  // Small files may be packed tightly by chance; only large ones can do harm.
  const packing = uncompressedSize / Math.max(1, compressedSize);
  if (uncompressedSize > 2 ** 20 && packing > limits.packing) {
    throw refuse(`It unpacks to ${Math.round(packing)} times its size, as no timetable does.`);
  }
}

/** A file that isn't at the top of the zip is often in a folder, which the reference rules out. */
function missing(file: string, entries: Map<string, Entry>): string {
  const inFolder = [...entries.keys()].find((name) => name.endsWith(`/${file}`));
  if (inFolder === undefined) return 'The file is missing.';
  const folder = inFolder.slice(0, -file.length - 1).slice(0, 60);
  return `It is in the folder "${folder}". GTFS files belong at the top of the zip.`;
}

function size(bytes: number): string {
  if (bytes < 1000) return `${bytes} bytes`;
  return bytes < 2 ** 20 ? `${Math.round(bytes / 1024)} kB` : `${(bytes / 2 ** 20).toFixed(1)} MB`;
}

function plain(error: Error): string {
  return error.message.replace(/\s+/g, ' ').replace(/\.$/, '').slice(0, 120);
}
