import type { App } from '../app/app.ts';
import { BoardKeeper } from '../app/board/keeper.ts';
import { viewBoard } from '../app/board/view.ts';
import { boardChannel } from '../chat/discord/board.ts';
import type { Outgoing } from '../chat/discord/outgoing.ts';

/**
 * Keeps the pinned boards on Discord. `touch` it on every change; `start` it once logged in, to take
 * up those from before a restart.
 */
export function makeBoards(app: App, outgoing: Outgoing): BoardKeeper {
  const keeper = new BoardKeeper({
    store: app.store,
    clock: app.clock,
    log: app.log.child({ part: 'board' }),
    channel: boardChannel(outgoing),
    view: (trip, nowMs) => viewBoard(app, trip, nowMs),
  });
  app.board = keeper;
  return keeper;
}
