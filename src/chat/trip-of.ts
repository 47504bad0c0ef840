import type { App } from '../app/app.ts';
import type { Call } from '../app/command.ts';
import type { Reply } from '../say/reply.ts';

/**
 * The trip the buttons of an answer belong to, so that a press means the same trip later and
 * elsewhere: the reply's own, else the call's, else the channel's open or last one, else (in a direct message) the
 * only open trip of the person who asked. Never rejects: without it, a press looks the trip up anew.
 */
export async function tripOf(app: App, call: Call, reply: Reply): Promise<string | undefined> {
  const known = reply.trip ?? call.trip;
  if (known !== undefined) return known;
  try {
    return await lookUp(app, call);
  } catch (error) {
    app.log.warn({ err: error }, "the trip of an answer's buttons is not known");
    return undefined;
  }
}

async function lookUp(app: App, call: Call): Promise<string | undefined> {
  const open = await app.store.openTripIn(call.where.channel);
  if (open !== undefined) return open.id;
  if (call.where.direct) {
    const [only, second] = await app.store.openTripsOf(call.actor.id);
    if (only !== undefined && second === undefined) return only.id;
  }
  return (await app.store.lastTripIn(call.where.channel))?.id;
}

/** The wall's zone. Never rejects: a notice about a trip that can't be read is shown all the same. */
export async function zoneOfTrip(app: App, trip: string): Promise<string | undefined> {
  try {
    const row = await app.store.trip(trip);
    return row === undefined || row.seq === 0
      ? undefined
      : (await app.records.read(row)).state.zone;
  } catch (error) {
    app.log.warn({ err: error }, "the zone of a notice's trip is not known");
    return undefined;
  }
}
