import type { App } from '../../src/app/app.ts';
import { boardOf } from '../../src/app/board/content.ts';
import type { BoardResult, Boards, BoardTrouble } from '../../src/app/board/port.ts';
import { viewBoard } from '../../src/app/board/view.ts';
import type { Call } from '../../src/app/command.ts';
import { forecastOf } from '../../src/app/forecast/run.ts';
import { look } from '../../src/record/trips.ts';
import type { Line, Reply } from '../../src/say/reply.ts';

/** Columns of the picture in text: fits beside the two that a terminal indents. */
const TEXT_WIDTH = 78;

/** Makes or refreshes the pinned board; where nothing can be pinned the answer is the board. */
export async function showBoard(app: App, call: Call): Promise<Reply> {
  const { state, row } = await look(app, call);
  if (app.board !== undefined) return pinned(app, app.board, row.id, call.atMs);
  const forecast = await forecastOf(app, state, call.atMs);
  const picture = app.pictures?.text(state, forecast, call.atMs, TEXT_WIDTH) ?? [];
  return { ...boardOf(state, forecast, call.atMs), after: picture };
}

/** Where it can't be posted the answer holds it, so that nobody goes without for want of a permission. */
async function pinned(app: App, boards: Boards, trip: string, nowMs: number): Promise<Reply> {
  const result = await boards.show(trip);
  const lines = resultLines(result);
  if (result.shown) return { lines };
  const here = await viewBoard(app, trip, nowMs);
  return here === undefined ? { lines } : { ...here.reply, lines: [...lines, ...here.reply.lines] };
}

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
