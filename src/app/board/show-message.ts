import type { BoardRow, Store } from '../../store/port.ts';
import type { BoardChannel, BoardMessage, BoardOutcome, BoardPlace, BoardResult } from './port.ts';

interface Parts {
  store: Store;
  channel: BoardChannel;
}

export interface Showing {
  channel: string;
  message: BoardMessage;
  /** Pins it though it was pinned before: somebody asked. */
  pin: boolean;
  /** The trip has ended: a message that was deleted stays so. */
  last: boolean;
}

/** Of a trip that never had a board. */
const NONE: BoardRow = { posts: 0, pinned: false, wanted: false };

/**
 * Brings one board up to date: changes the message in place, posts a new one when there is none or
 * it was deleted, pins it when asked. Where files may not be attached the words go alone.
 */
export async function showMessage(parts: Parts, showing: Showing): Promise<BoardResult> {
  const { message, pin } = showing;
  const fact = (await parts.store.board(message.trip)) ?? NONE;
  const put = await withoutFiles(message, (m) => place(parts, { ...showing, message: m }, fact));
  if (!put.outcome.ok) {
    return { shown: false, pinned: false, bare: false, why: put.outcome.why };
  }
  const now = (await parts.store.board(message.trip)) ?? fact;
  if (!pin && (now.pinned || now.message?.message === fact.message?.message)) {
    return { shown: true, pinned: now.pinned, bare: put.bare };
  }
  const pinned = await parts.channel.pin(put.outcome.value);
  await parts.store.setBoard(message.trip, { ...now, pinned: pinned.ok });
  return {
    shown: true,
    pinned: pinned.ok,
    bare: put.bare,
    ...(pinned.ok ? {} : { why: pinned.why }),
  };
}

async function withoutFiles(
  message: BoardMessage,
  put: (message: BoardMessage) => Promise<BoardOutcome<BoardPlace>>,
): Promise<{ outcome: BoardOutcome<BoardPlace>; bare: boolean }> {
  const outcome = await put(message);
  const files = message.reply.files ?? [];
  const mayBeFiles = !outcome.ok && (outcome.why === 'no-permission' || outcome.why === 'refused');
  if (!mayBeFiles || files.length === 0) {
    return { outcome, bare: false };
  }
  const { files: _, ...words } = message.reply;
  return { outcome: await put({ ...message, reply: words }), bare: true };
}

async function place(
  { store, channel }: Parts,
  { channel: where, message, last, pin }: Showing,
  fact: BoardRow,
): Promise<BoardOutcome<BoardPlace>> {
  if (fact.message !== undefined) {
    const edited = await channel.edit(fact.message, message);
    if (edited.ok || edited.why !== 'gone' || (last && !pin)) return edited;
  }
  // Counted before it is sent: a crash in between sends it again under the same nonce.
  const again = fact.message === undefined && fact.posts > 0;
  const posts = again ? fact.posts : fact.posts + 1;
  const kept: BoardRow = { ...fact, posts, pinned: false };
  delete kept.message;
  await store.setBoard(message.trip, kept);
  const posted = await channel.post(where, message, `board-${message.trip}-${posts}`);
  if (posted.ok) {
    await store.setBoard(message.trip, { ...kept, message: posted.value });
  }
  return posted;
}
