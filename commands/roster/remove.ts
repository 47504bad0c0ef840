import { sub } from '../../src/app/command.ts';
import { personMeant } from '../../src/app/who.ts';
import { undoButton } from '../../src/app/words/post.ts';
import { change } from '../../src/record/change.ts';
import type { Person } from '../../src/trip/people.ts';
import { noteOption, whoOption } from './options.ts';

const options = { who: whoOption, reason: noteOption('Why, if it should be kept') } as const;

declare module '../../src/say/press.ts' {
  interface Paths {
    'roster remove': typeof options;
  }
}

export const remove = sub({
  description: 'Somebody leaves the trip; what they did stays in the record',
  access: 'act',
  options,
  run(call, { who, reason }, app) {
    let person: Person | undefined;
    return change(app, call, {
      decide({ state }) {
        person = personMeant(state, who);
        return [
          {
            kind: 'roster.removed',
            data: { id: person.id, ...(reason === undefined ? {} : { reason }) },
          },
        ];
      },
      answer({ before, events }) {
        const kept = [...before.assigned].filter(([, a]) => a.leader === person?.id);
        const seq = events[0]?.seq;
        return {
          lines: [
            `${person?.name} is off the roster; what they did stays in the record.`,
            ...(person?.roles.includes('climber')
              ? ['The leads close up: /lead plan shows who goes on.']
              : []),
            ...(kept.length === 0
              ? []
              : [`Back in the rotation: pitch ${kept.map(([n]) => n).join(', ')}.`]),
          ],
          buttons: seq === undefined ? [] : [undoButton(seq)],
        };
      },
    });
  },
});
