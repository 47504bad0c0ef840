import { type OptionDef, sub } from '../../src/app/command.ts';
import { noteOption } from '../../src/app/options.ts';
import { undoButton } from '../../src/app/words/post.ts';
import { change } from '../../src/record/change.ts';
import { Refusal } from '../../src/say/refusal.ts';
import type { SheetDetail } from '../../src/trip/kinds/watch-sheet.ts';

const options = {
  vehicle: noteOption('Make, colour, registration'),
  parked: noteOption('Where it stands'),
  approach: noteOption('The way in'),
  escape: noteOption('Ways off, and the plan for bad weather'),
  gear: noteOption('Ropes, tent, portaledge, and their colours'),
  food: noteOption('Food and water, for how long'),
  signalling: noteOption('Radio channels, beacon, lights'),
  notes: noteOption('Anything else a rescuer should know'),
} as const satisfies Record<SheetDetail, OptionDef>;

declare module '../../src/say/press.ts' {
  interface Paths {
    'overdue details': typeof options;
  }
}

/** What a rescuer asks besides. The answer says nothing of it aloud. */
export const details = sub({
  description: 'Vehicle, gear, food and the like for the sheet; none takes one away',
  access: 'act',
  private: true,
  options,
  run(call, args, app) {
    return change(app, call, {
      decide() {
        const patch = Object.fromEntries(
          Object.entries(args)
            .filter(([, v]) => v !== undefined)
            .map(([k, v]) => [k, v?.trim().toLowerCase() === 'none' ? null : v?.trim()]),
        );
        if (Object.keys(patch).length === 0) {
          throw new Refusal('needs-value', [
            'Name what, like vehicle:"red van, XY 12345" or gear:"two ropes, orange portaledge".',
            '/overdue sheet shows it all.',
          ]);
        }
        return [{ kind: 'watch.details', data: patch }];
      },
      answer: ({ events }) => ({
        lines: [
          `On the sheet: ${Object.keys(events[0]?.data as object).join(', ')}.`,
          'Only the roster can open it, and every opening stands in the record.',
        ],
        buttons: [undoButton(events[0]?.seq ?? 0)],
        private: true,
      }),
    });
  },
});
