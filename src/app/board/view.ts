import type { Core } from '../app.ts';
import { forecastOf } from '../forecast/run.ts';
import { pictured } from '../pictures.ts';
import { boardOf } from './content.ts';
import type { BoardView } from './keeper.ts';

/** The board of a trip as it stands now, with its picture; undefined when the trip is gone. */
export async function viewBoard(
  core: Core,
  trip: string,
  nowMs: number,
): Promise<BoardView | undefined> {
  const row = await core.store.trip(trip);
  if (row === undefined || row.status === 'purged') return undefined;
  const { state } = await core.records.read(row);
  const ended = row.status === 'closed';
  const forecast = ended ? undefined : await forecastOf(core, state, nowMs);
  const picture = await pictured(core, state, forecast, nowMs);
  return {
    channel: row.channel,
    reply: { ...boardOf(state, forecast, nowMs), ...picture },
    live: state.phase === 'climbing' || state.phase === 'descending',
    ended,
  };
}
