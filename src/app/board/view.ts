import { asUnreadable, UnreadableRecord, unreadableLines } from '../../record/unreadable.ts';
import { inHours } from '../../say/hours.ts';
import { modeOf } from '../../trip/mode.ts';
import type { Core } from '../app.ts';
import { forecastBeside } from '../forecast/run.ts';
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
  const ended = row.status === 'closed';
  const loaded = await core.records.read(row).catch(asUnreadable);
  if (loaded instanceof UnreadableRecord) {
    // Shown anew now and then, so that it comes back when the record does.
    return { channel: row.channel, reply: { lines: unreadableLines(loaded) }, live: !ended, ended };
  }
  const { state } = loaded;
  const forecast = ended ? undefined : await forecastBeside(core, state, nowMs);
  const picture = await pictured(core, state, forecast, nowMs);
  return {
    channel: row.channel,
    reply: { ...inHours(boardOf(state, forecast, nowMs), state.settings.hours), ...picture },
    live: !['preparing', 'down', 'closed'].includes(modeOf(state, nowMs).is),
    ended,
  };
}
