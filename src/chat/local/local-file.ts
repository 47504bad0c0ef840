import { open, stat } from 'node:fs/promises';
import { basename, resolve } from 'node:path';
import type { FileArg } from '../../app/command.ts';
import { tooLarge } from '../file-arg.ts';

/** A file beside the script or in the current folder; undefined when there is no such file. */
export async function localFile(folder: string, path: string): Promise<FileArg | undefined> {
  const full = resolve(folder, path);
  const found = await stat(full).catch(() => undefined);
  if (found === undefined || !found.isFile()) return undefined;
  const name = basename(full);
  return {
    name,
    size: found.size,
    async bytes(maxBytes) {
      const file = await open(full);
      try {
        // One byte more than allowed tells a file that grew since.
        const buffer = Buffer.alloc(Math.min(found.size, maxBytes) + 1);
        const { bytesRead } = await file.read(buffer, 0, buffer.length, 0);
        if (bytesRead > maxBytes) throw tooLarge(name, maxBytes);
        return buffer.subarray(0, bytesRead);
      } finally {
        await file.close();
      }
    },
  };
}
