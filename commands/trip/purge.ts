import type { App } from '../../src/app/app.ts';
import { type Call, sub } from '../../src/app/command.ts';
import { eraseTrip } from '../../src/app/privacy/erase-trip.ts';
import { mustEnd } from '../../src/record/end-unreadable.ts';
import { lookBack } from '../../src/record/trips.ts';
import { asUnreadable } from '../../src/record/unreadable.ts';
import { Refusal } from '../../src/say/refusal.ts';
import type { TripRow } from '../../src/store/port.ts';
import { openTroubles } from '../../src/trip/conditions.ts';
import { close } from './close.ts';

const options = { sure: { type: 'string', description: 'Asked before', hidden: true } } as const;

declare module '../../src/say/press.ts' {
  interface Paths {
    'trip purge': typeof options;
  }
}

interface Erasable {
  row: TripRow;
  entries: number;
  /** A party may be out by it: its watch ends by closing, where that is asked back and told. */
  out: boolean;
}

/** The trip that is meant, for whoever may erase it: who opened it, or a manager of the server. */
async function erasable(app: App, call: Call): Promise<Erasable> {
  try {
    const { row, state } = await lookBack(app, call, 'act');
    if (call.manager !== true && state.openedBy.id !== call.actor.id) {
      throw new Refusal('not-the-opener', [
        `Only ${state.openedBy.name}, who opened ${state.name}, can erase it, or a manager of this server.`,
      ]);
    }
    const out = state.departedAtMs !== undefined && state.downAtMs === undefined;
    return { row, entries: state.entries.length, out: out || openTroubles(state).length > 0 };
  } catch (error) {
    if (error instanceof Refusal) throw error;
    const unreadable = asUnreadable(error);
    await mustEnd(app, call, unreadable);
    const row = await app.store.trip(unreadable.trip);
    if (row === undefined) throw error;
    return { row, entries: row.seq, out: true };
  }
}

/** Asks first: an erased record can't be brought back. */
export const purge = sub({
  description: 'Erase a trip with all its personal data, and free its channel',
  access: 'opener',
  managers: true,
  private: true,
  options,
  async run(call, args, app) {
    const { row, entries, out } = await erasable(app, call);
    const open = row.status === 'open';
    if (open && out) {
      throw new Refusal('watch-would-end', [
        `${row.name} is still open; close it first: /trip close.`,
        'Erasing an open trip would leave a party without a watch.',
      ]);
    }
    if (args.sure !== row.id) {
      return {
        lines: [
          `${open ? 'Close and erase' : 'Erase'} ${row.name}: ${entries} entries, names, phones, everything?`,
          "It can't be brought back. /log export first, if you want to keep a copy.",
        ],
        buttons: [
          {
            label: 'Erase for good',
            tone: 'danger',
            press: { path: 'trip purge', options: { sure: row.id } },
          },
        ],
        private: true,
      };
    }
    if (open) {
      const closed = await close.run({ ...call, id: `${call.id}/close` }, {}, app);
      if (closed.refused === true) return closed;
    }
    const unpinned = await eraseTrip(app, row.id, call.atMs);
    return {
      lines: [
        'Erased. Nothing of that trip is kept.',
        ...(unpinned ? [] : ['Its board could not be removed from the chat: delete it by hand.']),
      ],
      private: true,
    };
  },
});
