import type { Condition, Trouble } from './kinds/trouble.ts';
import type { Person } from './people.ts';
import type { TripState } from './state.ts';

/** Troubles that nobody has ended yet, oldest first. */
export function openTroubles(state: TripState): Trouble[] {
  return state.troubles.filter((t) => t.over === undefined);
}

/**
 * How a person is, as last told. Nothing told is `well`; a trouble of which it isn't known who has it
 * says nothing of anybody.
 */
export function conditionOf(state: TripState, person: string): Condition {
  const last = state.troubles.findLast((t) => t.who.includes(person));
  if (last !== undefined && last.over === undefined) return last.condition;
  if (state.outSince.has(person)) return 'out';
  if (last?.over !== undefined) return last.over.left;
  return state.people.find((p) => p.id === person)?.out === true ? 'out' : 'well';
}

/**
 * Climbers who count as up there: the party, and whoever was taken off the roster while it was out
 * without a word that they are off the wall.
 */
export function onTheWall(state: TripState): Person[] {
  return state.people.filter(
    (p) =>
      p.roles.includes('climber') &&
      conditionOf(state, p.id) !== 'out' &&
      (p.leftAtMs === undefined || leftOnTheWall(state, p)),
  );
}

function leftOnTheWall({ departedAtMs, downAtMs }: TripState, { leftAtMs = 0 }: Person): boolean {
  return departedAtMs !== undefined && leftAtMs > departedAtMs && downAtMs === undefined;
}
