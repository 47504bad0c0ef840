import { lookBack } from '../record/trips.ts';
import { Refusal } from '../say/refusal.ts';
import type { Person } from '../trip/people.ts';
import { climbers, present, type TripState } from '../trip/state.ts';
import type { Choice, Suggest } from './command.ts';

/** The person meant by a name or id; a beginning is enough when it fits one only. */
export function personMeant(
  state: TripState,
  typed: string,
  among: readonly Person[] = present(state),
): Person {
  const want = typed.trim().normalize('NFC').toLowerCase();
  const nameOf = (p: Person) => p.name.normalize('NFC').toLowerCase();
  const exact = among.find((p) => p.id === want || nameOf(p) === want);
  if (exact !== undefined) return exact;
  const begins = among.filter((p) => nameOf(p).startsWith(want) || p.id.startsWith(want));
  const [only, second] = begins;
  if (only !== undefined && second === undefined) return only;
  const names = (only === undefined ? among : begins).map((p) => p.name).join(', ');
  const what = among.length === present(state).length ? 'on the roster' : 'among them';
  throw new Refusal(only === undefined ? 'no-such-person' : 'ambiguous-name', [
    only === undefined ? `${typed} isn't ${what}.` : `${typed} could be ${names}.`,
    names === '' ? 'Nobody is there yet: /roster add.' : `There is: ${names}.`,
  ]);
}

export function climberMeant(state: TripState, typed: string): Person {
  return personMeant(state, typed, climbers(state));
}

function matching(people: readonly Person[], typed: string): Choice[] {
  const want = typed.toLowerCase();
  return people
    .filter((p) => p.name.toLowerCase().includes(want))
    .slice(0, 25)
    .map((p) => ({ name: p.name, value: p.name }));
}

/** People of the trip's roster, while typing. */
export const suggestPeople: Suggest = async (call, typed, app) =>
  matching(present((await lookBack(app, call)).state), typed);

export const suggestClimbers: Suggest = async (call, typed, app) =>
  matching(climbers((await lookBack(app, call)).state), typed);

/** Pitches, the one under way first. */
export const suggestPitches: Suggest = async (call, typed, app) => {
  const { state } = await lookBack(app, call);
  const here = state.pitches.findIndex((p) => p.done === undefined);
  const start = Math.max(0, here);
  const ordered = [...state.pitches.slice(start), ...state.pitches.slice(0, start).reverse()];
  return ordered
    .filter((p) => String(p.number).startsWith(typed.trim()))
    .slice(0, 25)
    .map((p) => ({
      name: `${p.number}${p.done === undefined ? '' : ' (done)'}`,
      value: p.number,
    }));
};
