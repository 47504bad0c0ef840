import { eraseDay, erasesAtMs } from '../../src/alarm/keeping.ts';
import type { App } from '../../src/app/app.ts';
import { peopleBehind } from '../../src/record/anonymous.ts';
import { mustStay } from '../../src/record/erase-person.ts';
import { UnreadableRecord } from '../../src/record/unreadable.ts';
import type { TripRow } from '../../src/store/port.ts';
import type { Person } from '../../src/trip/people.ts';
import type { TripState } from '../../src/trip/state.ts';

/** Trips looked at for one answer, the newest. */
export const TRIPS_MAX = 20;

/** What a trip keeps about an account. */
export interface Kept {
  row: TripRow;
  /** Undefined for a record that can't be read. */
  state?: TripState;
  people: readonly Person[];
  /** How many entries they told. */
  told: number;
}

/** The newest trips that keep something about an account, and how many there are. */
export async function keptAbout(app: App, user: string): Promise<{ kept: Kept[]; of: number }> {
  const rows = await app.store.tripsAbout(user);
  const kept: Kept[] = [];
  for (const row of rows.slice(0, TRIPS_MAX)) {
    try {
      const { state } = await app.records.read(row);
      const told = state.entries.filter(({ event }) => event.by.id === user).length;
      kept.push({ row, state, people: peopleBehind(state, user), told });
    } catch (error) {
      if (!(error instanceof UnreadableRecord)) throw error;
      kept.push({ row, people: [], told: 0 });
    }
  }
  return { kept, of: rows.length };
}

/** The same of one trip, in a line. */
export function keptWords(
  { row, state, people, told }: Kept,
  user: string,
  keepDays: number,
): string {
  if (state === undefined)
    return `${row.name}: its record can't be read; ask whoever runs this bot.`;
  const atMs = erasesAtMs(state, keepDays);
  const ends =
    mustStay(state, user) === 'needed'
      ? 'Stays while the party is out or an alarm stands.'
      : atMs === undefined
        ? ''
        : `Erases itself on ${eraseDay(state, atMs)}.`;
  return [
    `${row.name} (${row.status}):`,
    ...people.map((person) => personWords(person, state)),
    told === 0
      ? 'no entry told by you.'
      : `${told} ${told === 1 ? 'entry' : 'entries'} told by you.`,
    ends,
  ]
    .filter((part) => part !== '')
    .join(' ');
}

function personWords(person: Person, state: TripState): string {
  const { name, roles, email, phone, age, clothing, medical, zone } = person;
  const devices = state.watch.devices.filter((d) => d.person === person.id).length;
  const push =
    devices === 0 ? undefined : `in ${devices === 1 ? 'a browser' : `${devices} browsers`}`;
  const fields = { phone, 'e-mail': email, push, age, clothing, medical, zone };
  const known = Object.entries(fields).flatMap(([k, v]) => (v === undefined ? [] : [`${k} ${v}`]));
  return `${name}, ${roles.join(' and ')}${known.length === 0 ? '' : `; ${known.join('; ')}`};`;
}
