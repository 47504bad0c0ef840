import { LIMITS } from '../../limits.ts';
import { linkStartsAt, nameOf, type TripState } from '../state.ts';
import { lengthText } from '../units.ts';
import type { No } from './no.ts';

/** Every leader named, by hand or with a post, is or was a climber on the roster. */
export function* leadersAreClimbers(state: TripState): Generator<No> {
  const named = state.pitches.flatMap((p) => {
    const hand = p.done === undefined ? state.assigned.get(p.number)?.leader : undefined;
    return [p.started?.leader, p.done?.leader, hand].flatMap((id) => (id ? [{ id, p }] : []));
  });
  for (const { id, p } of named) {
    const person = state.people.find((x) => x.id === id);
    if (person?.roles.includes('climber')) continue;
    yield {
      rule: 'not-a-climber',
      text: person
        ? `${person.name} is on the roster, but not as a climber, so can't lead pitch ${p.number}.`
        : `${id} isn't on the roster, so can't lead pitch ${p.number}.`,
      ways: ['/roster show lists who is.'],
      pitch: p.number,
      person: id,
    };
  }
}

/** Assignments name pitches that exist. */
export function* assignmentsFit(state: TripState): Generator<No> {
  for (const [number, { leader }] of state.assigned) {
    if (number <= state.pitches.length) continue;
    yield {
      rule: 'no-such-pitch',
      text: `There is no pitch ${number} for ${nameOf(state, leader)} to lead; the topo has ${state.pitches.length}.`,
      ways: [`/lead assign pitch:${number} leader:none puts it back first.`],
      pitch: number,
    };
  }
}

/** How much rope a link may use, metres. */
export function linkLimitM(state: TripState): number {
  return state.settings.leadLineM - state.settings.leadMarginM;
}

/** Links: two pitches that exist, not overlapping, no longer than the lead line less its margin. */
export function* linksFit(state: TripState): Generator<No> {
  for (const first of state.links) {
    const [a, b] = [state.pitches[first - 1], state.pitches[first]];
    if (a === undefined || b === undefined) {
      yield {
        rule: 'link-off-topo',
        text: `There is no pitch ${first + 1} to link ${first} with.`,
        pitch: first,
      };
      continue;
    }
    if (linkStartsAt(state, first + 1)) {
      yield {
        rule: 'link-overlaps',
        text: `Pitch ${first + 1} is already the first of a link; only two go in one.`,
        ways: [`/lead unlink pitch:${first + 1} first.`],
        pitch: first,
      };
    }
    const lengthM = a.lengthM + b.lengthM;
    if (lengthM > linkLimitM(state)) yield tooLong(state, first, lengthM);
  }
}

function tooLong(state: TripState, first: number, lengthM: number): No {
  const { leadLineM, leadMarginM } = state.settings;
  const show = (m: number) => lengthText(m, state.units);
  return {
    rule: 'link-too-long',
    text:
      `Pitches ${first} and ${first + 1} are ${show(lengthM)} together; the lead line of ` +
      `${show(leadLineM)} less its margin of ${show(leadMarginM)} gives ${show(leadLineM - leadMarginM)}.`,
    ways: ['A longer line, or another margin: /trip edit.'],
    pitch: first,
  };
}

/** Nothing grows without end. */
export function* bounds(state: TripState): Generator<No> {
  const climberCount = state.people.filter(
    (p) => p.roles.includes('climber') && !p.leftAtMs,
  ).length;
  const over: [boolean, string][] = [
    [state.people.length > LIMITS.people, `A trip holds ${LIMITS.people} people at most.`],
    [climberCount > LIMITS.climbers, `A party holds ${LIMITS.climbers} climbers at most.`],
    [state.entries.length > LIMITS.events, `The record holds ${LIMITS.events} entries at most.`],
  ];
  for (const [is, text] of over) if (is) yield { rule: 'too-many', text };
}
