import { readFileSync } from 'node:fs';
import { gzipSync } from 'node:zlib';
import type { FastifyInstance } from 'fastify';
import { FONT_FILES } from '../picture/font.ts';
import { FONT_PATHS } from './style.ts';

/** The typeface of the pictures, from here and not from a third party; kept by browsers for good. */
export function fontRoutes(server: FastifyInstance): void {
  for (const weight of ['regular', 'bold'] as const) {
    const plain = readFileSync(FONT_FILES[weight]);
    const packed = gzipSync(plain, { level: 9 });
    server.get(FONT_PATHS[weight], async (request, reply) => {
      const gzip = /\bgzip\b/u.test(request.headers['accept-encoding'] ?? '');
      return reply
        .type('font/ttf')
        .header('cache-control', 'public, max-age=31536000, immutable')
        .header('vary', 'accept-encoding')
        .headers(gzip ? { 'content-encoding': 'gzip' } : {})
        .send(gzip ? packed : plain);
    });
  }
}
