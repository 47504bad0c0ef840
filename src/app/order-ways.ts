import { waysSaid } from '../alarm/consent.ts';
import type { Call } from '../record/call.ts';
import { change } from '../record/change.ts';
import { ENGLISH } from '../say/contact/words.ts';
import { Refusal } from '../say/refusal.ts';
import type { Reply } from '../say/reply.ts';
import type { Person } from '../trip/people.ts';
import { personById, type TripState } from '../trip/state.ts';
import { type Way, type WaysFrom, wayName, waysFrom } from '../trip/ways.ts';
import type { App } from './app.ts';
import { wordsToward } from './toward.ts';

/** What a form says of one way: its place, and from which step of an alarm it is used. */
export interface Placed {
  way: Way;
  /** 1 is the first. */
  place: number;
  from?: WaysFrom[Way];
}

/** The ways that somebody may put in order: by which they have said yes. */
export function ordered(state: TripState, person: Person): Way[] {
  return [...new Set(waysSaid(state, person, 'yes').map(({ way }) => way))];
}

/** Reads what a form sent: `place.push` and `from.push` for each way. What can't be meant is left as it is. */
export function readPlaces(
  ways: readonly Way[],
  given: Readonly<Record<string, unknown>>,
): Placed[] {
  return ways.map((way, i) => {
    const place = Number(given[`place.${way}`]);
    const from = waysFrom.safeParse({ [way]: given[`from.${way}`] }).data?.[way];
    return {
      way,
      place:
        Number.isInteger(place) && place >= 1 && place <= wayName.options.length ? place : i + 1,
      ...(from === undefined ? {} : { from }),
    };
  });
}

/** A contact says which way goes first, and which waits until it is grave. */
export function orderWays(
  app: App,
  call: Call,
  { id }: Pick<Person, 'id'>,
  given: Readonly<Record<string, unknown>>,
): Promise<Reply> {
  return change(app, call, {
    decide({ state }) {
      const person = personById(state, id);
      if (person === undefined) return [];
      const own = ordered(state, person);
      const places = readPlaces(own, given).sort((a, b) => a.place - b.place);
      if (places.every(({ from }) => from !== undefined)) {
        throw new Refusal('all-later', ENGLISH.text('refused.all-later'));
      }
      // What they were asked about and have not answered keeps its place behind them.
      const ways = [
        ...places.map(({ way }) => way),
        ...(person.ways ?? []).filter((w) => !own.includes(w)),
      ];
      const kept = Object.entries(person.from ?? {}).filter(([way]) => !own.includes(way as Way));
      const from = { ...Object.fromEntries(kept), ...stepsOf(places) };
      return [
        {
          kind: 'roster.edited',
          data: { id, patch: { ways, from: Object.keys(from).length === 0 ? null : from } },
        },
      ];
    },
    answer: ({ after }) => ({ lines: [wordsToward(after, call).say('ways.kept')] }),
  });
}

function stepsOf(places: readonly Placed[]): WaysFrom {
  return Object.fromEntries(
    places.flatMap(({ way, from }) => (from === undefined ? [] : [[way, from]])),
  );
}
