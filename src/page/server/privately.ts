import type { FastifyReply } from 'fastify';
import { UnreadableRecord } from '../../record/unreadable.ts';
import type { Words } from '../../say/contact/words.ts';
import { unreadablePage } from './document.ts';

/**
 * Shows a page of somebody's trip: kept by nobody on its way and found by no search. A trip whose record can't
 * be read is said to be so.
 */
export async function privately(
  reply: FastifyReply,
  show: () => Promise<unknown>,
  w?: Words,
): Promise<unknown> {
  reply
    .type('text/html; charset=utf-8')
    .header('cache-control', 'no-store, private')
    .header('x-robots-tag', 'noindex, nofollow, noarchive');
  try {
    return await show();
  } catch (error) {
    if (!(error instanceof UnreadableRecord)) throw error;
    return reply.code(503).send(unreadablePage(error, w));
  }
}
