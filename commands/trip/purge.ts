import { sub } from '../../src/app/command.ts';
import { lookBack } from '../../src/record/trips.ts';
import { Refusal } from '../../src/say/refusal.ts';

const options = { sure: { type: 'string', description: 'Asked before', hidden: true } } as const;

declare module '../../src/say/press.ts' {
  interface Paths {
    'trip purge': typeof options;
  }
}

/** Asks first: an erased record can't be brought back. */
export const purge = sub({
  description: 'Erase a closed trip with all its personal data',
  access: 'act',
  private: true,
  options,
  async run(call, args, app) {
    const { row, state } = await lookBack(app, call, 'act');
    if (row.status === 'open') {
      throw new Refusal('watch-would-end', [
        `${state.name} is still open; close it first: /trip close.`,
        'Erasing an open trip would leave a party without a watch.',
      ]);
    }
    if (state.openedBy.id !== call.actor.id) {
      throw new Refusal(
        'not-the-opener',
        `Only ${state.openedBy.name}, who opened ${state.name}, can erase it.`,
      );
    }
    if (args.sure !== row.id) {
      return {
        lines: [
          `Erase ${state.name}: ${state.entries.length} entries, names, phones, everything?`,
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
    // Before the record, which knows where it stands.
    const unpinned = (await app.board?.remove(row.id)) ?? true;
    await app.store.purge(row.id, call.atMs);
    app.records.forget(row.id);
    app.changes.tell(row.id);
    return {
      lines: [
        'Erased. Nothing of that trip is kept.',
        ...(unpinned ? [] : ['Its board could not be removed from the chat: delete it by hand.']),
      ],
      private: true,
    };
  },
});
