import { sub } from '../../src/app/command.ts';
import { mayAct } from '../../src/record/membership.ts';
import { look } from '../../src/record/trips.ts';
import type { Line } from '../../src/say/reply.ts';
import { present } from '../../src/trip/state.ts';
import { abilityWords, privateWords } from './words.ts';

const options = {} as const;

declare module '../../src/say/press.ts' {
  interface Paths {
    'roster show': typeof options;
  }
}

/** The roster; phones, addresses and medical notes only for those who are on it. */
export const show = sub({
  description: 'Who is on the trip; phones and e-mail for the roster only',
  access: 'look',
  private: true,
  options,
  async run(call, _args, app) {
    const { state } = await look(app, call);
    const people = present(state);
    const mine = mayAct(state, call.actor.id);
    const lines = people.flatMap((person): Line[] => {
      const secret = mine ? privateWords(person) : [];
      return [
        `${person.name}: ${abilityWords(state, person)}.`,
        ...(secret.length === 0 ? [] : [`  ${secret.join(', ')}`]),
      ];
    });
    const left = state.people.length - people.length;
    return {
      lines: [
        people.length === 0
          ? 'Nobody on the roster yet: /roster add.'
          : `${state.name}, ${people.length} on the roster.`,
        ...lines,
        ...(left === 0 ? [] : [`${left} left the trip.`]),
        ...(mine ? [] : ['Phones and addresses are for the roster only.']),
      ],
      private: true,
    };
  },
});
