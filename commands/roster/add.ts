import { askDrafts } from '../../src/app/asking-contacts.ts';
import { sub } from '../../src/app/command.ts';
import { change } from '../../src/record/change.ts';
import { sameName } from '../../src/record/membership.ts';
import { Refusal } from '../../src/say/refusal.ts';
import type { Draft } from '../../src/trip/fact.ts';
import { type PersonFields, personId } from '../../src/trip/people.ts';
import { present, type TripState } from '../../src/trip/state.ts';
import { readFields } from './fields.ts';
import { fieldOptions, nameOption } from './options.ts';
import { mustBeFree, personWords } from './person.ts';
import { mustHaveWays } from './ways.ts';

const options = { name: { ...nameOption, required: true }, ...fieldOptions } as const;

declare module '../../src/say/press.ts' {
  interface Paths {
    'roster add': typeof options;
  }
}

/**
 * Puts somebody on the roster. A second time with another role adds the role: ground crew may be
 * contact too.
 */
export const add = sub({
  description: 'Put somebody on the roster',
  access: 'act',
  // What was typed may hold a phone or a medical note.
  private: true,
  options,
  run: (call, args, app) =>
    change(app, call, {
      async decide(loaded) {
        const { state } = loaded;
        const patch = readFields(args);
        const role = patch.roles?.[0] ?? 'climber';
        const fields = {
          ...withoutNulls(patch),
          name: args.name.trim(),
          roles: [role],
        } as PersonFields;
        mustBeFree(state, fields);
        mustHaveWays(app, fields);
        const known = present(state).find((p) => sameName(p.name, fields.name));
        const withAsking = async (draft: Draft) => [
          draft,
          ...(await askDrafts(app, call, loaded, [draft])),
        ];
        if (known === undefined) return withAsking(added(state, fields));
        const otherAccount = fields.userId !== undefined && fields.userId !== known.userId;
        if (known.roles.includes(role) || (otherAccount && known.userId !== undefined)) {
          throw new Refusal('same-person-twice', [
            `${known.name} is on the roster already (${known.roles.join(', ')}).`,
            'To change something: /roster edit. Two people of one name need two, like Jonas B.',
          ]);
        }
        const { name: _name, ...rest } = fields;
        return withAsking({
          kind: 'roster.edited',
          data: { id: known.id, patch: { ...rest, roles: [...known.roles, role] } },
        });
      },
      answer: (changed) => personWords(changed, app),
    }),
});

function added(state: TripState, fields: PersonFields): Draft {
  const id = personId(
    fields.name,
    state.people.map((p) => p.id),
  );
  return { kind: 'roster.added', data: { id, fields } };
}

function withoutNulls(patch: object): object {
  return Object.fromEntries(Object.entries(patch).filter(([, v]) => v !== null));
}
