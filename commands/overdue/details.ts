import type { App } from '../../src/app/app.ts';
import type { Call } from '../../src/app/command.ts';
import { personMeant } from '../../src/app/who.ts';
import { undoButton } from '../../src/app/words/post.ts';
import { change } from '../../src/record/change.ts';
import { Refusal } from '../../src/say/refusal.ts';
import type { Reply } from '../../src/say/reply.ts';
import type { SheetDetail } from '../../src/trip/kinds/watch-sheet.ts';

export type DetailsInput = { [K in SheetDetail]?: string | undefined };

/** What a rescuer asks besides: vehicle, gear, food. `none` takes one away. Says nothing back aloud. */
export function setDetails(app: App, call: Call, input: DetailsInput): Promise<Reply> {
  return change(app, call, {
    decide() {
      const patch = Object.fromEntries(
        Object.entries(input)
          .filter(([, v]) => v !== undefined)
          .map(([k, v]) => [k, v?.trim().toLowerCase() === 'none' ? null : v?.trim()]),
      );
      if (Object.keys(patch).length === 0) {
        throw new Refusal([
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
}

export interface DelayInput {
  who?: string | undefined;
  told?: number | undefined;
  overdue?: number | undefined;
}

/** How long after a missed time who is told; for the whole trip, or for one contact. 0 means as usual. */
export function setDelays(app: App, call: Call, input: DelayInput): Promise<Reply> {
  return change(app, call, {
    decide({ state }) {
      if (input.told === undefined && input.overdue === undefined) {
        throw new Refusal('Name how many minutes: told:30 overdue:120. 0 goes back to the usual.');
      }
      const person = input.who === undefined ? undefined : personMeant(state, input.who);
      if (person !== undefined && !person.roles.includes('contact')) {
        throw new Refusal(`${person.name} is no contact, so has no time of their own.`);
      }
      const base = { ...state.watch.delays, ...(person && state.watch.delaysOf.get(person.id)) };
      const told = input.told === 0 ? 30 : (input.told ?? base.uncertaintyMin);
      const overdue = input.overdue === 0 ? 120 : (input.overdue ?? base.alertMin);
      if (overdue < told) {
        throw new Refusal(`Overdue after ${overdue} min would come before told after ${told} min.`);
      }
      return [
        {
          kind: 'watch.delays',
          data: {
            ...(person === undefined ? {} : { person: person.id }),
            ...(input.told === undefined ? {} : { uncertaintyMin: input.told || null }),
            ...(input.overdue === undefined ? {} : { alertMin: input.overdue || null }),
          },
        },
      ];
    },
    answer({ after, events }) {
      const { person } = (events[0]?.data ?? {}) as { person?: string };
      const delays = { ...after.watch.delays, ...(person && after.watch.delaysOf.get(person)) };
      return {
        lines: [
          `${person === undefined ? 'Contacts' : (after.people.find((p) => p.id === person)?.name ?? '')} told ` +
            `${delays.uncertaintyMin} min after a missed time; overdue after ${delays.alertMin} min.`,
        ],
        buttons: [undoButton(events[0]?.seq ?? 0)],
      };
    },
  });
}
