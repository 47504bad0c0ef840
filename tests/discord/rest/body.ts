import type { IncomingMessage } from 'node:http';
import { Readable } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import busboy from 'busboy';
import { refusal } from '../errors.ts';
import { MESSAGE } from '../limits.ts';
import type { UploadedFile } from './request.ts';

export interface ParsedBody {
  json: unknown;
  files: UploadedFile[];
}

/** Reads the whole body; 40005 when it is over 25 MiB, 50109 when it isn't the JSON it claims to be. */
export async function readBody(incoming: IncomingMessage): Promise<ParsedBody> {
  const bytes = await readAll(incoming);
  if (bytes.length === 0) return { json: undefined, files: [] };
  const type = incoming.headers['content-type'] ?? '';
  if (type.startsWith('application/json')) return { json: parseJson(bytes.toString()), files: [] };
  if (type.startsWith('multipart/form-data')) return readMultipart(bytes, incoming.headers);
  throw refusal(50035);
}

async function readAll(incoming: IncomingMessage): Promise<Buffer> {
  const chunks: Buffer[] = [];
  let size = 0;
  for await (const chunk of incoming as AsyncIterable<Buffer>) {
    size += chunk.length;
    // Read to the end even when it is too much: an answer before the end would be lost.
    if (size <= MESSAGE.requestBytesMax) chunks.push(chunk);
  }
  if (size > MESSAGE.requestBytesMax) throw refusal(40005);
  return Buffer.concat(chunks);
}

function parseJson(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    throw refusal(50109);
  }
}

/** reference.mdx, Uploading Files: `payload_json` and uniquely named `files[n]`, each with a name. */
async function readMultipart(
  bytes: Buffer,
  headers: IncomingMessage['headers'],
): Promise<ParsedBody> {
  const parsed: ParsedBody = { json: undefined, files: [] };
  const wrong: string[] = [];
  const parser = busboy({ headers, preservePath: false, defParamCharset: 'utf8' });
  let payload: string | undefined;
  parser.on('field', (name, value) => {
    if (name === 'payload_json') payload = value;
    else wrong.push(name);
  });
  parser.on('file', (field, stream, info) => {
    const index = /^files\[(\d+)\]$/u.exec(field)?.[1];
    const chunks: Buffer[] = [];
    stream.on('data', (chunk: Buffer) => chunks.push(chunk));
    stream.on('end', () => {
      const again = parsed.files.some((f) => f.index === index);
      if (index === undefined || info.filename === undefined || again) wrong.push(field);
      else {
        const file = { index, name: info.filename, type: info.mimeType };
        parsed.files.push({ ...file, bytes: Buffer.concat(chunks) });
      }
    });
  });
  await pipeline(Readable.from([bytes]), parser);
  if (wrong.length > 0) throw refusal(50035);
  if (payload !== undefined) parsed.json = parseJson(payload);
  return parsed;
}
