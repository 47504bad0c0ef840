import type { App } from '../../src/app/app.ts';
import type { Call } from '../../src/app/command.ts';
import { personMeant } from '../../src/app/who.ts';
import { undoButton } from '../../src/app/words/post.ts';
import { typedText } from '../../src/say/typed.ts';
import { change, type Draft } from '../../src/record/change.ts';
import { sameName } from '../../src/record/membership.ts';
import { Refusal } from '../../src/say/refusal.ts';
import type { Reply } from '../../src/say/reply.ts';
import type { Person, PersonFields } from '../../src/trip/people.ts';
import { personId } from '../../src/trip/people.ts';
import { present, type TripState } from '../../src/trip/state.ts';
import { type PersonInput, readFields } from './fields.ts';
import { abilityWords } from './words.ts';

/**
 * Puts somebody on the roster. A second time with another role adds the role: ground crew may be
 * contact too.
 */
export function addPerson(app: App, call: Call, name: string, input: PersonInput): Promise<Reply> {
  return change(app, call, {
    decide({ state }) {
      const patch = readFields(input);
      const role = patch.roles?.[0] ?? 'climber';
      const fields = { ...withoutNulls(patch), name: name.trim(), roles: [role] } as PersonFields;
      mustBeFree(state, fields);
      const known = present(state).find((p) => sameName(p.name, fields.name));
      if (known === undefined) return [added(state, fields)];
      const otherAccount = fields.userId !== undefined && fields.userId !== known.userId;
      if (known.roles.includes(role) || (otherAccount && known.userId !== undefined)) {
        throw new Refusal([
          `${known.name} is on the roster already (${known.roles.join(', ')}).`,
          'To change something: /roster edit. Two people of one name need two, like Jonas B.',
        ]);
      }
      const { name: _name, ...rest } = fields;
      return [
        {
          kind: 'roster.edited',
          data: { id: known.id, patch: { ...rest, roles: [...known.roles, role] } },
        },
      ];
    },
    answer: ({ after, events }) => answer(after, idOf(events[0]?.data), events[0]?.seq),
  });
}

function added(state: TripState, fields: PersonFields): Draft {
  const id = personId(
    fields.name,
    state.people.map((p) => p.id),
  );
  return { kind: 'roster.added', data: { id, fields } };
}

/** One account is one person. */
function mustBeFree(state: TripState, fields: { userId?: string | undefined; name: string }): void {
  const holder = present(state).find((p) => p.userId !== undefined && p.userId === fields.userId);
  if (holder !== undefined && !sameName(holder.name, fields.name)) {
    throw new Refusal(
      `That account is ${holder.name} on the roster already: /roster edit who:${typedText(holder.name)}`,
    );
  }
}

export function editPerson(
  app: App,
  call: Call,
  who: string,
  newName: string | undefined,
  input: PersonInput,
): Promise<Reply> {
  return change(app, call, {
    decide({ state }) {
      const person = personMeant(state, who);
      const patch = readFields(input);
      if (newName !== undefined) patch.name = renamed(state, person, newName);
      if (Object.keys(patch).length === 0) {
        throw new Refusal('Nothing to change: name what, like free:6c or leads:no.');
      }
      if (patch.userId) mustBeFree(state, { userId: patch.userId, name: person.name });
      return [{ kind: 'roster.edited', data: { id: person.id, patch } }];
    },
    answer: ({ after, events }) => answer(after, idOf(events[0]?.data), events[0]?.seq),
  });
}

function renamed(state: TripState, person: Person, name: string): string {
  const taken = present(state).find((p) => p.id !== person.id && sameName(p.name, name));
  if (taken !== undefined) {
    throw new Refusal(
      `${taken.name} is on the roster already. Two of one name need two, like Jonas B.`,
    );
  }
  return name.trim();
}

export function removePerson(
  app: App,
  call: Call,
  who: string,
  reason: string | undefined,
): Promise<Reply> {
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
}

function idOf(data: unknown): string {
  return (data as { id: string }).id;
}

function withoutNulls(patch: object): object {
  return Object.fromEntries(Object.entries(patch).filter(([, v]) => v !== null));
}

/** Says nothing private: the answer is seen by the channel. */
function answer(state: TripState, id: string, seq: number | undefined): Reply {
  const person = state.people.find((p) => p.id === id);
  if (person === undefined || seq === undefined) return { lines: ['Nothing changed.'] };
  return {
    lines: [`${person.name}: ${abilityWords(person)}.`],
    buttons: [undoButton(seq)],
    private: true,
  };
}
