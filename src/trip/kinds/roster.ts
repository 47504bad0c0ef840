import { z } from 'zod';
import { LIMITS } from '../../limits.ts';
import { type Person, type PersonFields, personFields, readPerson } from '../people.ts';
import { nameOf, type TripState } from '../state.ts';
import type { Kind } from './kind.ts';

const id = z.string().min(1).max(40);
/** A new person on the roster; `id` is short and stable within the trip. */
export const added = z.strictObject({ id, fields: personFields });
/** Only what is named changes; `null` takes a value away. */
export const personPatch = z
  .strictObject(
    Object.fromEntries(
      Object.entries(personFields.shape).map(([key, shape]) => [
        key,
        (shape as z.ZodType).nullable().optional(),
      ]),
    ),
  )
  .refine((p) => p.name !== null && p.roles !== null, 'a person keeps a name and a role');
/** A change to the person `id`. */
export const editedPerson = z.strictObject({ id, patch: personPatch });
/** The person `id` has left the trip. */
export const removed = z.strictObject({
  id,
  reason: z.string().max(LIMITS.noteLength).optional(),
  /** They are off the wall. Left out: nobody said where they are. */
  out: z.boolean().optional(),
});

/** People who join, change and leave. */
export const rosterKinds: {
  'roster.added': Kind<z.infer<typeof added>>;
  'roster.edited': Kind<z.infer<typeof editedPerson>>;
  'roster.removed': Kind<z.infer<typeof removed>>;
} = {
  'roster.added': {
    order: 'told',
    alive: false,
    strike: 'may',
    private: true,
    vital: false,
    data: added,
    fold(state, event) {
      const { id: who, fields } = event.data;
      if (state.people.some((p) => p.id === who)) {
        state.clashes.push({ what: 'same-person-twice', seq: event.seq, person: who });
        return;
      }
      state.people.push(readPerson(who, fields, event.atMs));
    },
    say: (data) => `${data.fields.name} on the roster (${data.fields.roles.join(', ')})`,
  },
  'roster.edited': {
    order: 'told',
    alive: false,
    strike: 'may',
    private: true,
    vital: false,
    data: editedPerson,
    fold(state, event) {
      const at = state.people.findIndex((p) => p.id === event.data.id);
      const before = state.people[at];
      if (before === undefined) {
        state.clashes.push({ what: 'no-such-person', seq: event.seq, person: event.data.id });
        return;
      }
      const after = patched(before, event.data.patch);
      state.people[at] = after;
      // Hurt, or on the ground now: what was kept for them goes back to the rotation.
      if (!after.leads || !after.roles.includes('climber')) dropAssignments(state, after.id);
    },
    say: (data, state) => `${nameOf(state, data.id)} edited: ${Object.keys(data.patch).join(', ')}`,
  },
  'roster.removed': {
    order: 'told',
    alive: false,
    strike: 'may',
    private: true,
    vital: false,
    data: removed,
    fold(state, event) {
      const person = state.people.find((p) => p.id === event.data.id);
      if (person === undefined || person.leftAtMs !== undefined) {
        state.clashes.push({ what: 'no-such-person', seq: event.seq, person: event.data.id });
        return;
      }
      person.leftAtMs = event.atMs;
      if (event.data.out === true) person.out = true;
      dropAssignments(state, person.id);
    },
    say: (data, state) =>
      `${nameOf(state, data.id)} left the roster${data.out === true ? ', off the wall' : ''}` +
      `${data.reason ? `: ${data.reason}` : ''}`,
  },
};

function patched(before: Person, patch: z.infer<typeof personPatch>): Person {
  const fields: Record<string, unknown> = fieldsOf(before);
  for (const [key, value] of Object.entries(patch)) {
    if (value === null) delete fields[key];
    else if (value !== undefined) fields[key] = value;
  }
  const after = readPerson(before.id, personFields.parse(fields), before.joinedAtMs);
  const climbed = before.hasClimbed || after.hasClimbed;
  return {
    ...after,
    ...(climbed ? { hasClimbed: true } : {}),
    ...(before.leftAtMs === undefined ? {} : { leftAtMs: before.leftAtMs }),
  };
}

/** A person's fields as they would be written to the record. */
export function fieldsOf(person: Person): PersonFields {
  const {
    id: _id,
    joinedAtMs: _joined,
    leftAtMs: _left,
    hasClimbed: _climbed,
    out: _out,
    free,
    aid,
    ...rest
  } = person;
  return {
    ...rest,
    ...(free === undefined ? {} : { free: free.text }),
    ...(aid === undefined ? {} : { aid: aid.text }),
  };
}

/** Pitches kept for somebody who leads no more go back to the rotation. */
function dropAssignments(state: TripState, who: string): void {
  for (const [number, assignment] of state.assigned) {
    if (assignment.leader === who) state.assigned.delete(number);
  }
}
