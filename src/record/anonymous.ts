import type { Redaction } from '../store/port.ts';
import { type Author, type Fact, idWhereTold, type RawFact } from '../trip/fact.ts';
import { accountsOf, type Person } from '../trip/people.ts';
import { readFact } from '../trip/read.ts';
import type { TripState } from '../trip/state.ts';

/** What is known of somebody beside what they climbed. */
const PRIVATE = ['userId', 'email', 'phone', 'ntfy', 'age', 'clothing', 'medical', 'zone'];
/** Free text of kinds, which may say anything about whoever told it or is spoken of. */
const FREE = ['words', 'what', 'why', 'reason', 'said', 'note', 'about', 'is', 'done'];
/** What leads to a contact: the address that an entry is about, and what their browser gave. */
const REACH = ['to', 'endpoint', 'p256dh', 'auth'];
const GONE = '(erased)';

/** The people of a roster behind an account, those who left included. */
export function peopleBehind(state: TripState, user: string): Person[] {
  return state.people.filter((p) => accountsOf(p).includes(user));
}

/**
 * What a record says of one person, without them: `Person 2` stands in place of their name wherever it is written,
 * what was kept about them is gone, and so is the free text of what they told or are spoken of in. What was climbed
 * and when stays, so the others keep their record.
 *
 * @returns the entries that change
 */
export function withoutPerson(
  state: TripState,
  facts: readonly RawFact[],
  user: string,
): Redaction[] {
  const names = peopleBehind(state, user).map((person) => aliasOf(state, person));
  return facts.flatMap((fact) => {
    const mine = idWhereTold(fact.by) === user;
    const by = mine ? authorOf(names) : fact.by;
    const about = names.some(({ id }) => mentions(fact.data, id));
    const data = replaced(fact.data, names);
    const free = fact.kind.startsWith('contact.') && about ? [...FREE, ...REACH] : FREE;
    const bare = mine || about ? withoutText(data, free) : data;
    // A field that its kind needs stays, without the name.
    const kept = readFact({ ...fact, data: bare } as Fact).ok ? bare : data;
    const same = by === fact.by && JSON.stringify(kept) === JSON.stringify(fact.data);
    return same ? [] : [{ seq: fact.seq, by, data: kept }];
  });
}

interface Alias {
  id: string;
  newId: string;
  name: RegExp;
  newName: string;
}

function aliasOf(state: TripState, { id, name }: Person): Alias {
  const taken = state.people.map((p) => p.id);
  let n = taken.indexOf(id) + 1;
  while (taken.includes(`person-${n}`)) n += 1;
  const text = name.replace(/[.*+?^${}()|[\]\\]/g, '\\$&');
  return {
    id,
    newId: `person-${n}`,
    name: new RegExp(`(?<![\\p{L}\\p{N}])${text}(?![\\p{L}\\p{N}])`, 'giu'),
    newName: `Person ${n}`,
  };
}

function authorOf([alias]: readonly Alias[]): Author {
  return alias === undefined
    ? { id: 'erased', name: 'somebody' }
    : { id: `erased:${alias.newId}`, name: alias.newName };
}

function mentions(value: unknown, id: string): boolean {
  if (value === id) return true;
  if (Array.isArray(value)) return value.some((v) => mentions(v, id));
  if (typeof value !== 'object' || value === null) return false;
  return Object.entries(value).some(([k, v]) => k === id || mentions(v, id));
}

function replaced(value: unknown, names: readonly Alias[]): unknown {
  if (typeof value === 'string') return names.reduce(replacedIn, value);
  if (Array.isArray(value)) return value.map((v) => replaced(v, names));
  if (typeof value !== 'object' || value === null) return value;
  const theirs = names.some(({ id }) => (value as { id?: unknown }).id === id);
  return Object.fromEntries(
    Object.entries(value).map(([k, v]) => [
      names.find(({ id }) => id === k)?.newId ?? k,
      theirs && (k === 'fields' || k === 'patch')
        ? replaced(without(v, PRIVATE), names)
        : replaced(v, names),
    ]),
  );
}

function replacedIn(text: string, { id, newId, name, newName }: Alias): string {
  return text === id ? newId : text.normalize('NFC').replace(name, newName);
}

function without(fields: unknown, keys: readonly string[]): unknown {
  return Object.fromEntries(Object.entries(fields as object).filter(([k]) => !keys.includes(k)));
}

function withoutText(value: unknown, free: readonly string[]): unknown {
  if (Array.isArray(value)) return value.map((v) => withoutText(v, free));
  if (typeof value !== 'object' || value === null) return value;
  return Object.fromEntries(
    Object.entries(value).map(([k, v]) =>
      free.includes(k) && typeof v === 'string' ? [k, GONE] : [k, withoutText(v, free)],
    ),
  );
}
