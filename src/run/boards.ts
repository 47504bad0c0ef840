import type { Core } from '../app/app.ts';
import { BoardKeeper } from '../app/board/keeper.ts';
import { viewBoard } from '../app/board/view.ts';
import { boardChannel } from '../chat/discord/board.ts';
import type { Outgoing } from '../chat/discord/outgoing.ts';

/** Keeps the pinned boards on Discord, after every change; `start` takes up those from before a restart. */
export function makeBoards(core: Core, outgoing: Outgoing, owner: string): BoardKeeper {
  const keeper = new BoardKeeper({
    store: core.store,
    clock: core.clock,
    log: core.log.child({ part: 'board' }),
    channel: boardChannel(outgoing),
    owner,
    view: (trip, nowMs) => viewBoard(core, trip, nowMs),
  });
  core.changes.listen((trip) => keeper.touch(trip));
  return keeper;
}
