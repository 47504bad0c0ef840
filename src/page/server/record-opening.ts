import type { App } from '../../app/app.ts';
import type { Call } from '../../app/command.ts';
import { refusalOf, toEvents } from '../../record/change.ts';
import { members } from '../../record/membership.ts';
import { load } from '../../record/trips.ts';
import type { TripRow } from '../../store/port.ts';
import { admit } from '../../trip/admit.ts';
import type { TripState } from '../../trip/state.ts';

/** Posts at the same moment retry on the new state; more losers in a row than this is a fault. */
const TRIES = 20;

/** Who opened it isn't known: everybody with the link is the page. */
const READER = { id: 'page', name: 'the page' };

/**
 * Writes into the trip's record that the sheet was opened by way of the page, and gives the state it
 * is to be made from. A change without a member behind it: the link is what allows it.
 */
export async function recordOpening(app: App, row: TripRow, nowMs: number): Promise<TripState> {
  const where = { channel: row.channel, direct: false };
  const call: Call = { id: app.ids.event(), atMs: nowMs, actor: READER, where };
  for (let tries = 0; tries < TRIES; tries++) {
    const { history, state } = await load(app, row);
    const drafts = [{ kind: 'watch.sheet', data: { as: 'print' } }];
    const events = toEvents(app, call, row.id, state.seq, drafts);
    const admitted = admit(row.id, history, events, nowMs);
    if (!admitted.ok) throw refusalOf(admitted.no);
    const after = admitted.value;
    const derived = await app.derive({ before: state, after, events, nowMs });
    const result = await app.store.append({
      trip: row.id,
      afterSeq: state.seq,
      key: `page:${call.id}`,
      events,
      answer: null,
      members: members(after),
      status: 'open',
      name: after.name,
      ...derived,
    });
    if (result.ok) {
      app.changed(row.id);
      return after;
    }
    if (result.why !== 'conflict') throw new Error(`sheet opening refused: ${result.why}`);
  }
  throw new Error(`trip ${row.id}: lost ${TRIES} races in a row`);
}
