import { eraseDay, erasesAtMs, stillNeeded } from '../alarm/keeping.ts';
import { dropFiles } from '../chat/local/kept-files.ts';
import { bare } from '../say/message.ts';
import type { Settings } from '../settings.ts';
import type { Store, TripRow } from '../store/port.ts';
import { fold } from '../trip/fold.ts';
import { readFacts } from '../trip/read.ts';
import type { TripState } from '../trip/state.ts';

/** What whoever runs the bot asks on the command line, while the bot may be running. */
export interface Operator {
  store: Store;
  settings: Settings;
  nowMs: number;
  write(text: string): void;
}

/** What an operator may not do; the message is one line. */
export class OperatorError extends Error {}

/** After this long without a word a party that is out by its record may be erased by hand. Engineering choice. */
const SILENT_MS = 30 * 86_400_000;

/** Every trip in a line: id, whether it is open, its entries, its name, what becomes of it. */
export async function listTrips({ store, settings, write }: Operator): Promise<void> {
  const rows = await store.trips();
  for (const row of rows) {
    const state = await stateOf(store, row);
    const opened = new Date(row.openedAtMs).toISOString().slice(0, 10);
    const end = endOf(state, settings.TAGLINE_KEEP_DAYS);
    // A name is somebody's own text: nothing in it may move the terminal's cursor.
    const cells = [row.id, row.status, opened, `${row.seq} entries`, bare(row.name), end];
    write(`${cells.join('  ')}\n`);
  }
  if (rows.length === 0) write('There are no trips.\n');
}

function endOf(state: TripState | undefined, keepDays: number): string {
  if (state === undefined) return "can't be read; stays until it is purged";
  const atMs = erasesAtMs(state, keepDays);
  return atMs === undefined
    ? 'out, or an alarm or trouble stands; stays'
    : `erases itself on ${eraseDay(state, atMs)}`;
}

/**
 * Erases a trip.
 *
 * @throws OperatorError for one that isn't there, or whose party may be out
 */
export async function purgeTrip(operator: Operator, id: string): Promise<void> {
  const { store, settings, nowMs, write } = operator;
  const row = await store.trip(id);
  if (row === undefined || row.status === 'purged') {
    throw new OperatorError(`There is no trip ${id}. --list names them.`);
  }
  const state = await stateOf(store, row);
  const lastMs = state?.entries.at(-1)?.event.recordedAtMs ?? 0;
  if (
    state !== undefined &&
    row.status === 'open' &&
    stillNeeded(state) &&
    nowMs - lastMs < SILENT_MS
  ) {
    throw new OperatorError(
      `A party is out by the record of ${id}, or an alarm stands. Its channel, or a manager of its server, closes it first.`,
    );
  }
  await store.purge(id, nowMs);
  dropFiles(settings.TAGLINE_DATA, id);
  write(`Erased ${id}. Backups, and a board that stands in the chat, are yours to remove.\n`);
  const trouble = await store.check(nowMs).catch(() => undefined);
  if (trouble !== undefined)
    write(
      `Not in order yet: ${trouble}. It is tried again with the next erasing, and at the next start.\n`,
    );
}

/** Undefined for a record that can't be read. */
async function stateOf(store: Store, row: TripRow): Promise<TripState | undefined> {
  const read = readFacts(await store.events(row.id));
  try {
    return read.ok && row.seq > 0 ? fold(row.id, read.value) : undefined;
  } catch {
    return undefined;
  }
}
