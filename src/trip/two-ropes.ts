import { climbingOn } from './parts.ts';
import type { TripState } from './state.ts';

/** From this many climbers on, a party without ropes that were told is taken to climb on several. */
const SEVERAL_FROM = 4;

/** A pitch that a rope behind the first was told to have done. */
export interface RopeMark {
  /** 2 for the one behind the first. */
  rope: number;
  pitch: number;
  atMs: number;
  seq: number;
}

/**
 * Who climbs with whom, the rope in front first. Told, less whoever is not with them any more; else two
 * and two of four or more, in the order of the roster; else everybody on one rope.
 *
 * @returns ids by rope
 */
export function ropesOf(state: TripState): string[][] {
  const here = climbingOn(state).map((p) => p.id);
  if (state.ropes.length === 0) {
    if (here.length < SEVERAL_FROM) return here.length === 0 ? [] : [here];
    const pairs = Math.floor(here.length / 2);
    return Array.from({ length: pairs }, (_, i) =>
      here.slice(2 * i, i === pairs - 1 ? undefined : 2 * i + 2),
    );
  }
  const named = new Set(state.ropes.flat());
  const told = state.ropes.map((rope) => rope.filter((id) => here.includes(id)));
  // Whoever joined since goes with the last rope.
  const rest = here.filter((id) => !named.has(id));
  return told
    .map((rope, i) => (i === told.length - 1 ? [...rope, ...rest] : rope))
    .filter((rope) => rope.length > 0);
}

/**
 * Whether they climb on several ropes as was told: who with whom, or a pitch of the one behind. Else the ropes of
 * four or more are a guess, good enough for a forecast and not for saying who leads where.
 */
export function toldRopes(state: TripState): boolean {
  return (state.ropes.length > 0 || state.ropeMarks.length > 0) && ropesOf(state).length > 1;
}

/**
 * Ropes behind the first that still climb, by what was told last of each. One of which nothing was ever told
 * counts with the first: a crew that posts one rope only is not kept on the wall for it.
 */
export function ropesBelow(state: TripState): RopeMark[] {
  const ropes = ropesOf(state).length;
  return ropeMarks(state).filter((m) => m.rope <= ropes && m.pitch < state.pitches.length);
}

/** When the rope in front was on top; undefined before that, and without a topo. */
export function frontTopMs({ pitches }: Pick<TripState, 'pitches'>): number | undefined {
  return pitches.every((p) => p.done !== undefined) ? pitches.at(-1)?.done?.atMs : undefined;
}

/** The newest mark of each rope behind the first. */
export function ropeMarks(state: TripState): RopeMark[] {
  const ropes = [...new Set(state.ropeMarks.map((m) => m.rope))].sort((a, b) => a - b);
  return ropes.flatMap((rope) => {
    const own = state.ropeMarks.filter((m) => m.rope === rope);
    const best = own.reduce<RopeMark | undefined>(
      (top, m) => (m.pitch > (top?.pitch ?? 0) ? m : top),
      undefined,
    );
    return best ?? [];
  });
}
