import { isUnconfirmed, waysTo } from '../../src/alarm/consent.ts';
import { contacts, names, reachable, waysOf } from '../../src/alarm/who.ts';
import { sub } from '../../src/app/command.ts';
import { personMeant, suggestPeople } from '../../src/app/who.ts';
import { LIMITS } from '../../src/limits.ts';
import { change } from '../../src/record/change.ts';
import { Refusal } from '../../src/say/refusal.ts';
import type { Person } from '../../src/trip/people.ts';
import type { TripState } from '../../src/trip/state.ts';

const options = {
  who: {
    type: 'string',
    description: 'Which contact; all of them when left out',
    maxLength: LIMITS.nameLength,
    suggest: suggestPeople,
  },
} as const;

declare module '../../src/say/press.ts' {
  interface Paths {
    'checkin drill': typeof options;
  }
}

/** A rehearsal: the contact gets a marked alert with the buttons, by the ways an alert would take. */
export const drill = sub({
  description: 'Rehearse the alarm with the contact; marked as a rehearsal',
  access: 'act',
  counts: ['rehearsal'],
  options,
  run(call, { who }, app) {
    let names: string[] = [];
    return change(app, call, {
      decide({ state }) {
        const people = drilled(state, who);
        names = people.map((p) => p.name);
        return people.map((p) => ({ kind: 'watch.drill', data: { to: p.id } }));
      },
      answer: ({ after }) => ({
        lines: [
          `Sent: a rehearsal to ${names.join(', ')}.`,
          "It counts when they press I've got it. By mail only: /overdue ack for:… when they tell you it came.",
          ...unreachable(after),
        ],
      }),
    });
  },
});

function drilled(state: TripState, who: string | undefined) {
  const all = contacts(state);
  if (all.length === 0) {
    throw new Refusal('nobody-there', [
      'There is no contact at home yet.',
      ['Like ', { code: '/roster add name:Dana role:contact email:dana@example.org' }],
    ]);
  }
  const people = who === undefined ? reachable(state) : [personMeant(state, who, all)];
  const asked = who === undefined && people.length > 0 ? [] : unconfirmedOf(state, people, all);
  if (asked.length > 0) {
    throw new Refusal('unreachable-contact', [
      `${names(asked)} ${asked.length === 1 ? 'has' : 'have'} not said yes to being contact, so there is nothing to rehearse with them.`,
      [
        'Ask them to answer the message they got. To send it once more: ',
        { code: '/checkin contact answer:again for:' },
      ],
    ]);
  }
  const lost = people.find((p) => waysOf(state, p).length === 0);
  if (people.length === 0 || lost !== undefined) {
    throw new Refusal('unreachable-contact', [
      `${lost?.name ?? all.map((p) => p.name).join(', ')} can't be reached: no account, no e-mail.`,
      '/roster edit who: user: or email:',
    ]);
  }
  return people;
}

function unconfirmedOf(state: TripState, people: readonly Person[], all: readonly Person[]) {
  return (people.length > 0 ? people : all).filter((p) => isUnconfirmed(state, p));
}

function unreachable(state: TripState): string[] {
  const lost = contacts(state).filter((p) => waysTo(state, p).length === 0);
  const silent = contacts(state).filter((p) => isUnconfirmed(state, p));
  return [
    ...(lost.length === 0 ? [] : [`No way to reach ${lost.map((p) => p.name).join(', ')} yet.`]),
    ...(silent.length === 0 ? [] : [`Not to ${names(silent)}: no yes to being contact so far.`]),
  ];
}
