import { LIMITS } from '../../limits.ts';
import { climbers, linkStartsAt, nameOf, type TripState } from '../state.ts';
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
    if (person?.hasClimbed === true) continue;
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

/** Assignments name pitches that exist and climbers who lead. */
export function* assignmentsFit(state: TripState): Generator<No> {
  const able = new Set(climbers(state).flatMap((p) => (p.leads ? [p.id] : [])));
  for (const [number, { leader }] of state.assigned) {
    if (!able.has(leader)) {
      yield {
        rule: 'not-a-climber',
        text: `${nameOf(state, leader)} doesn't lead on this trip, so can't be given pitch ${number}.`,
        ways: ['/roster show lists who leads; /roster edit leads:yes changes it.'],
        pitch: number,
        person: leader,
      };
    }
    if (number <= state.pitches.length) continue;
    yield {
      rule: 'no-such-pitch',
      text: `There is no pitch ${number} for ${nameOf(state, leader)} to lead; the topo has ${state.pitches.length}.`,
      ways: [`/lead assign pitch:${number} leader:none puts it back first.`],
      pitch: number,
    };
  }
}

/** How much rope a link may use, metres: the lead line less its margin. */
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
        text: `There is no pitch ${first + 1} to link ${first} with; the topo has ${state.pitches.length}.`,
        ways: [`/lead unlink pitch:${first}, if they are linked.`],
        pitch: first,
      };
      continue;
    }
    if (linkStartsAt(state, first + 1)) {
      yield {
        rule: 'link-overlaps',
        text: `Pitch ${first + 1} would be in two links; only two pitches go in one lead.`,
        ways: [`/lead unlink pitch:${first} or pitch:${first + 1} first.`],
        pitch: first,
      };
    }
    const lengthM = a.lengthM + b.lengthM;
    if (lengthM > linkLimitM(state)) yield tooLong(state, first, lengthM);
    else if (state.settings.haulBag && lengthM > (state.settings.haulLineM || lengthM))
      yield overHaulLine(state, first, lengthM);
  }
}

/** A bag hauled over a link hangs on one haul line from stance to stance. */
function overHaulLine(state: TripState, first: number, lengthM: number): No {
  const show = (m: number) => lengthText(m, state.units);
  return {
    rule: 'link-too-long',
    text:
      `Pitches ${first} and ${first + 1} are ${show(lengthM)} together; ` +
      `the haul line is ${show(state.settings.haulLineM ?? 0)}, too short for the bag.`,
    ways: [
      `Another haul line, or no bag: /trip edit ropes:"haul ${state.units === 'ft' ? 230 : 70}" bag:no`,
      `Linked already: /lead unlink pitch:${first}`,
    ],
    pitch: first,
  };
}

function tooLong(state: TripState, first: number, lengthM: number): No {
  const { leadLineM, leadMarginM } = state.settings;
  const show = (m: number) => lengthText(m, state.units);
  return {
    rule: 'link-too-long',
    text:
      `Pitches ${first} and ${first + 1} are ${show(lengthM)} together; the lead line of ` +
      `${show(leadLineM)} less its margin of ${show(leadMarginM)} gives ${show(leadLineM - leadMarginM)}.`,
    ways: [
      `A longer line or another margin: /trip edit ropes:"${state.units === 'ft' ? 'lead 260 keep 16' : 'lead 80 keep 5'}"`,
      `Linked already and climbed in two now: /lead unlink pitch:${first}`,
    ],
    pitch: first,
  };
}

/** A trip holds so many people and so many climbers, and no more. */
export function* bounds(state: TripState): Generator<No> {
  const climberCount = state.people.filter(
    (p) => p.roles.includes('climber') && !p.leftAtMs,
  ).length;
  const over: [boolean, string, string][] = [
    [
      state.people.length > LIMITS.people,
      `A trip holds ${LIMITS.people} people at most, those who left included.`,
      'Give one entry a new name instead: /roster edit who: name:',
    ],
    [
      climberCount > LIMITS.climbers,
      `A party holds ${LIMITS.climbers} climbers at most.`,
      'More climbers are two parties: a trip each, in two channels.',
    ],
  ];
  for (const [is, text, way] of over) if (is) yield { rule: 'too-many', text, ways: [way] };
}
