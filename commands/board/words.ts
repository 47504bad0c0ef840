import type { BoardResult, BoardTrouble } from '../../src/app/board/port.ts';
import type { Line } from '../../src/say/reply.ts';

const GRANT: Record<BoardTrouble, string> = {
  gone: 'The message was deleted just now. Once more: /board.',
  'no-access':
    "tagline can't see this channel. Add it to the server, or grant it View Channel here, then /board.",
  'no-permission':
    'tagline may not write here. Grant it View Channel, Send Messages and Attach Files, then /board.',
  'pins-full': 'The board is up, but the pins of this channel are full. Unpin one, then /board.',
  archived: 'This thread is archived or locked. Open it again, then /board.',
  later: 'The board could not be reached just now. It is tried again by itself.',
  refused: 'The board was refused; the log has why. Tell whoever runs tagline.',
};

/** What came of it, and what to grant. */
export function resultLines(result: BoardResult): Line[] {
  const { shown, pinned, bare, why } = result;
  if (!shown) return [GRANT[why ?? 'refused']];
  const picture = bare
    ? ['Without its picture: grant tagline Attach Files here, then /board.']
    : [];
  if (pinned) return ['The board is up to date and pinned.', ...picture];
  const pin =
    why === 'no-permission' || why === 'no-access'
      ? 'The board is up, but not pinned. Grant tagline Pin Messages here, then /board; or pin it by hand.'
      : GRANT[why ?? 'refused'];
  return [pin, ...picture];
}
