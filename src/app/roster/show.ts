import { present } from '../../trip/state.ts';
import type { App } from '../app.ts';
import type { Call } from '../command.ts';
import { mayAct } from '../membership.ts';
import type { Line, Reply } from '../reply.ts';
import { look } from '../trips.ts';
import { abilityWords, privateWords } from '../words/roster.ts';

/** The roster; phones, addresses and medical notes only for those who are on it. */
export async function showRoster(app: App, call: Call): Promise<Reply> {
  const { state } = await look(app, call);
  const people = present(state);
  const mine = mayAct(state, call.actor.id);
  const lines = people.flatMap((person): Line[] => {
    const secret = mine ? privateWords(person) : [];
    return [
      `${person.name}: ${abilityWords(person)}.`,
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
}
