import { askDrafts } from '../../src/app/asking-contacts.ts';
import { sub } from '../../src/app/command.ts';
import { personMeant } from '../../src/app/who.ts';
import { change } from '../../src/record/change.ts';
import { sameName } from '../../src/record/membership.ts';
import { Refusal } from '../../src/say/refusal.ts';
import type { Draft } from '../../src/trip/fact.ts';
import type { Person } from '../../src/trip/people.ts';
import { present, type TripState } from '../../src/trip/state.ts';
import { type Patch, readFields } from './fields.ts';
import { fieldOptions, nameOption, whoOption } from './options.ts';
import { mustBeFree, personWords } from './person.ts';
import { mustHaveWays } from './ways.ts';

const options = { who: whoOption, name: nameOption, ...fieldOptions } as const;

declare module '../../src/say/press.ts' {
  interface Paths {
    'roster edit': typeof options;
  }
}

export const edit = sub({
  description: 'Change what is known of somebody; "none" takes a value away',
  access: 'act',
  // What was typed may hold a phone or a medical note.
  private: true,
  options,
  run: (call, args, app) =>
    change(app, call, {
      async decide(loaded) {
        const { state } = loaded;
        const person = personMeant(state, args.who);
        const patch = readFields(args);
        if (args.name !== undefined) patch.name = renamed(state, person, args.name);
        if (Object.keys(patch).length === 0) {
          throw new Refusal(
            'nothing-to-change',
            'Nothing to change: name what, like free:6c or leads:no.',
          );
        }
        if (patch.userId) mustBeFree(state, { userId: patch.userId, name: person.name });
        mustHaveWays(app, withPatch(person, patch));
        const draft: Draft = { kind: 'roster.edited', data: { id: person.id, patch } };
        return [draft, ...(await askDrafts(app, call, loaded, [draft]))];
      },
      answer: (changed) => personWords(changed, app),
    }),
});

/** The ways as they would be; those that stay as they were are not asked about. */
function withPatch(person: Person, patch: Patch) {
  const { phone = person.phone, from = person.from, ways } = patch;
  return {
    name: person.name,
    ...(phone === null || phone === undefined ? {} : { phone }),
    ...(from === null || from === undefined ? {} : { from }),
    ...(ways === null || ways === undefined ? {} : { ways }),
  };
}

function renamed(state: TripState, person: Person, name: string): string {
  const taken = present(state).find((p) => p.id !== person.id && sameName(p.name, name));
  if (taken !== undefined) {
    throw new Refusal(
      'same-person-twice',
      `${taken.name} is on the roster already. Two of one name need two, like Jonas B.`,
    );
  }
  return name.trim();
}
