import { waysSaid } from '../../src/alarm/consent.ts';
import type { App } from '../../src/app/app.ts';
import { dispatch } from '../../src/app/dispatch.ts';
import { present } from '../../src/trip/state.ts';

/** Every contact who was asked says yes, by the code of the message to them. */
export async function allAgree(app: App, trip: string): Promise<void> {
  const loaded = await app.records.load(trip);
  if (loaded === undefined) throw new Error(`no trip ${trip}`);
  const { state, row } = loaded;
  for (const person of present(state)) {
    for (const way of waysSaid(state, person, 'asked')) {
      const call = {
        id: `agree/${way.person}/${way.way}/${state.seq}`,
        atMs: app.clock.wallMs(),
        actor: state.openedBy,
        where: { channel: row.channel, direct: false },
        trip,
      };
      const code = app.invitations.code(trip, way);
      const reply = await dispatch(app, call, 'checkin contact', { answer: 'yes', code });
      if (reply.refused === true) throw new Error(JSON.stringify(reply.lines));
    }
  }
}
