import type { ServerResponse } from 'node:http';
import type { Core } from '../core.ts';

/** Files at the addresses given in attachments: `/cdn/…/ID/NAME`. Needs no token, as with Discord. */
export function serveFile(core: Core, url: URL, outgoing: ServerResponse): void {
  const id = url.pathname.split('/').at(-2) ?? '';
  const file = core.world.files.get(id);
  if (file === undefined) {
    outgoing.writeHead(404, { 'content-type': 'text/plain' }).end('no such file');
    return;
  }
  outgoing.writeHead(200, {
    'content-type': file.attachment.content_type ?? 'application/octet-stream',
    'content-length': file.bytes.length,
  });
  outgoing.end(file.bytes);
}
