import { watched } from '../../src/alarm/expectations.ts';
import { overButton } from '../../src/alarm/words/trouble.ts';
import { sub } from '../../src/app/command.ts';
import { personMeant } from '../../src/app/who.ts';
import { undoButton } from '../../src/app/words/post.ts';
import { change } from '../../src/record/change.ts';
import { Refusal } from '../../src/say/refusal.ts';
import type { Button } from '../../src/say/reply.ts';
import { typedText } from '../../src/say/typed.ts';
import { openTroubles } from '../../src/trip/conditions.ts';
import type { Person } from '../../src/trip/people.ts';
import type { TripState } from '../../src/trip/state.ts';
import { noteOption, whoOption } from './options.ts';

const options = {
  who: whoOption,
  reason: noteOption('Why, if it should be kept'),
  where: {
    type: 'string',
    description: 'While the party is out: where they are',
    choices: [
      { name: 'off the wall', value: 'out' },
      { name: 'still up there', value: 'up' },
    ],
  },
} as const;

declare module '../../src/say/press.ts' {
  interface Paths {
    'roster remove': typeof options;
  }
}

export const remove = sub({
  description: 'Somebody leaves the trip; what they did stays in the record',
  access: 'act',
  options,
  run(call, { who, reason, where }, app) {
    let person: Person | undefined;
    return change(app, call, {
      decide({ state }) {
        person = personMeant(state, who);
        mustKnowWhere(state, person, where);
        return [
          {
            kind: 'roster.removed',
            data: {
              id: person.id,
              ...(reason === undefined ? {} : { reason }),
              ...(where === 'out' ? { out: true } : {}),
            },
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

/**
 * Who is up there counts on the sheet and for the alarm. So a climber leaves the roster of a party
 * that is out only when somebody says that they are off the wall.
 *
 * @throws Refusal that asks, or says how else to go on
 */
function mustKnowWhere(state: TripState, person: Person, where: 'out' | 'up' | undefined): void {
  if (!watched(state) || !person.roles.includes('climber')) return;
  const trouble = openTroubles(state).find((t) => t.who.includes(person.id));
  if (trouble !== undefined) {
    throw new Refusal(
      'trouble-open',
      [
        `${person.name} is in trouble as last told: “${trouble.what}”.`,
        'Say first that it is over, and where they are.',
      ],
      [overButton(trouble)],
    );
  }
  if (where === 'out') return;
  const who = typedText(person.name);
  if (where === 'up') {
    throw new Refusal('needs-value', [
      `${person.name} stays on the roster: who is up there counts on the sheet.`,
      ['To have them lead no more: ', { code: `/roster edit who:${who} leads:no` }],
    ]);
  }
  const press = (place: 'out' | 'up'): Button['press'] => ({
    path: 'roster remove',
    options: { who: person.name, where: place },
  });
  throw new Refusal(
    'needs-value',
    [`Where is ${person.name}? The party is out, and who is up there counts on the sheet.`],
    [
      { label: 'Off the wall', press: press('out') },
      { label: 'Still up there', press: press('up') },
    ],
  );
}
