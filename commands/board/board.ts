import type { App } from '../../src/app/app.ts';
import { boardOf } from '../../src/app/board/content.ts';
import type { Boards } from '../../src/app/board/port.ts';
import { viewBoard } from '../../src/app/board/view.ts';
import { sub } from '../../src/app/command.ts';
import { forecastBeside } from '../../src/app/forecast/run.ts';
import { look } from '../../src/record/trips.ts';
import type { Reply } from '../../src/say/reply.ts';
import { resultLines } from './words.ts';

/** Columns of the picture in text: fits beside the two that a terminal indents. */
const TEXT_WIDTH = 78;

const options = {} as const;

declare module '../../src/say/press.ts' {
  interface Paths {
    board: typeof options;
  }
}

/** Makes or refreshes the pinned board; where nothing can be pinned the answer is the board. */
export const board = sub({
  description: 'The pinned status message, kept up to date, with its picture',
  access: 'look',
  options,
  async run(call, _args, app) {
    const { state, row } = await look(app, call);
    if (app.board !== undefined) return pinned(app, app.board, row.id, call.atMs);
    const forecast = await forecastBeside(app, state, call.atMs);
    const picture = app.pictures.text(state, forecast, call.atMs, TEXT_WIDTH);
    return { ...boardOf(state, forecast, call.atMs), after: picture };
  },
});

/** Where it can't be posted the answer holds it, so that nobody goes without for want of a permission. */
async function pinned(app: App, boards: Boards, trip: string, nowMs: number): Promise<Reply> {
  const result = await boards.show(trip);
  const lines = resultLines(result);
  if (result.shown) return { lines };
  const here = await viewBoard(app, trip, nowMs);
  return here === undefined ? { lines } : { ...here.reply, lines: [...lines, ...here.reply.lines] };
}
