import { erasesAtMs, keptDays } from '../../alarm/keeping.ts';
import { newNotice, noticeData } from '../../alarm/notice.ts';
import { FIELD } from '../../alarm/who.ts';
import { erasePerson } from '../../record/erase-person.ts';
import { UnreadableRecord } from '../../record/unreadable.ts';
import type { TripRow } from '../../store/port.ts';
import type { App } from '../app.ts';
import { eraseTrip } from './erase-trip.ts';
import { setWish, wishesFor } from './wishes.ts';

const [HOUR_MS, DAY_MS] = [3_600_000, 86_400_000];
/** How long before a record erases itself its channel is told, or half the time it is kept, if that is less. Engineering choice. */
export const AHEAD_MS = 7 * DAY_MS;
/** How often it is looked. */
const EVERY_MS = HOUR_MS;
/** Between two trips, so that a look at very many holds nothing up. */
const PAUSE_MS = 20;

type Parts = Pick<
  App,
  'board' | 'store' | 'records' | 'changes' | 'ids' | 'log' | 'clock' | 'keepDays'
>;

/**
 * Erases, every hour, the records whose time has come and that were announced, announces those whose time is
 * near, and takes those out who asked for it while a party was out.
 *
 * @param believed whether the machine's clock is: nothing is erased by one that isn't
 */
export async function sweepOften(
  app: Parts,
  believed: () => boolean,
  signal: AbortSignal,
): Promise<void> {
  while (!signal.aborted) {
    if (believed()) {
      await sweep(app, signal).catch((error: unknown) =>
        app.log.error({ err: error }, 'records could not be looked over for erasing'),
      );
    }
    await app.clock.sleep(EVERY_MS, signal);
  }
}

/** One look at every trip. One that fails is logged, and the others are looked at. */
export async function sweep(app: Parts, signal?: AbortSignal): Promise<void> {
  for (const row of await app.store.trips()) {
    if (signal?.aborted === true) return;
    try {
      await lookAt(app, row);
    } catch (error) {
      // One that can't be read is whoever runs the bot's to look at.
      if (!(error instanceof UnreadableRecord)) {
        app.log.error({ err: error, trip: row.id }, 'a record could not be looked at for erasing');
      }
    }
    if (signal !== undefined) await app.clock.sleep(PAUSE_MS, signal);
  }
}

async function lookAt(app: Parts, { id }: TripRow): Promise<void> {
  const nowMs = app.clock.wallMs();
  for (const user of await wishesFor(app.store, id)) {
    const done = await erasePerson(app, id, user, nowMs);
    if (done === 'stays') continue;
    await setWish(app.store, id, user, false);
    app.changes.tell(id);
  }
  const loaded = await app.records.load(id);
  if (loaded === undefined) return;
  const { state } = loaded;
  const atMs = erasesAtMs(state, app.keepDays);
  const aheadMs = Math.min(AHEAD_MS, (keptDays(state, app.keepDays) * DAY_MS) / 2);
  if (atMs === undefined || nowMs < atMs - aheadMs) return;
  const told = await toldFor(app, id);
  // Told of a day before the last post: that day is over.
  if (told === undefined || told.atMs < atMs) {
    const whenMs = Math.ceil(Math.max(atMs, nowMs + aheadMs) / HOUR_MS) * HOUR_MS;
    const notice = newNotice(id, FIELD, { kind: 'erasing', atMs: whenMs }, nowMs);
    await app.store.fire({ trip: id, keys: [], atMs: nowMs, notices: [notice] });
    app.changes.tell(id);
    return;
  }
  // While the chat is away nobody has read it.
  if (nowMs < told.atMs || told.waits) return;
  await eraseTrip(app, id, nowMs);
  app.log.info({ trip: id }, 'a record has erased itself');
}

/** The latest time that was announced, and whether the message still waits to be sent. */
async function toldFor(app: Parts, trip: string) {
  const notices = (await app.store.notices(trip)).flatMap(({ data, status }) => {
    const parsed = noticeData.safeParse(data);
    if (!parsed.success || parsed.data.what.kind !== 'erasing') return [];
    return [{ atMs: parsed.data.what.atMs, waits: status === 'pending' }];
  });
  return notices.sort((a, b) => b.atMs - a.atMs)[0];
}
