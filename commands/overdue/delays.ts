import { type Options, sub } from '../../src/app/command.ts';
import { undoButton } from '../../src/app/words/post.ts';
import { change } from '../../src/record/change.ts';
import { Refusal } from '../../src/say/refusal.ts';
import { nameOf } from '../../src/trip/state.ts';
import { DEFAULT_DELAYS } from '../../src/trip/watch-state.ts';
import { contactMeant, contactOption } from './contact.ts';

const options = {
  told: {
    type: 'integer',
    description: 'Minutes until the contact is told: 30 unless set',
    min: 0,
    max: 2880,
  },
  overdue: {
    type: 'integer',
    description: 'Minutes until it is called overdue: 120 unless set',
    min: 0,
    max: 2880,
  },
  hand: {
    type: 'integer',
    description: 'Minutes until who took it in hand is asked again: 45 unless set',
    min: 0,
    max: 720,
  },
  who: contactOption('For this contact only'),
} as const satisfies Options;

declare module '../../src/say/press.ts' {
  interface Paths {
    'overdue delays': typeof options;
  }
}

/** For the whole trip, or for one contact. */
export const delays = sub({
  description: 'How long after a missed time who is told; 0 goes back to the usual',
  access: 'act',
  options,
  run(call, { told, overdue, hand, who }, app) {
    return change(app, call, {
      decide({ state }) {
        if (told === undefined && overdue === undefined && hand === undefined) {
          throw new Refusal(
            'needs-value',
            'Name how many minutes: told:30 overdue:120. 0 goes back to the usual.',
          );
        }
        const person =
          who === undefined
            ? undefined
            : contactMeant(state, who, ', so has no time of their own.');
        const base = { ...state.watch.delays, ...(person && state.watch.delaysOf.get(person.id)) };
        const usual = DEFAULT_DELAYS;
        const toldMin = told === 0 ? usual.uncertaintyMin : (told ?? base.uncertaintyMin);
        const overdueMin = overdue === 0 ? usual.alertMin : (overdue ?? base.alertMin);
        if (overdueMin < toldMin) {
          throw new Refusal(
            'bad-order',
            `Overdue after ${overdueMin} min would come before told after ${toldMin} min.`,
          );
        }
        return [
          {
            kind: 'watch.delays',
            data: {
              ...(person === undefined ? {} : { person: person.id }),
              ...(told === undefined ? {} : { uncertaintyMin: told || null }),
              ...(overdue === undefined ? {} : { alertMin: overdue || null }),
              ...(hand === undefined ? {} : { handMin: hand || null }),
            },
          },
        ];
      },
      answer({ after, events }) {
        const { person } = (events[0]?.data ?? {}) as { person?: string };
        const now = { ...after.watch.delays, ...(person && after.watch.delaysOf.get(person)) };
        return {
          lines: [
            `${person === undefined ? 'Contacts' : nameOf(after, person)} told ` +
              `${now.uncertaintyMin} min after a missed time; overdue after ${now.alertMin} min; ` +
              `asked again ${now.handMin} min after taking it in hand.`,
          ],
          buttons: [undoButton(events[0]?.seq ?? 0)],
        };
      },
    });
  },
});
