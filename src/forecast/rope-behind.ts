import { type Lead, leads, leadsOnRope } from '../trip/rotation.ts';
import type { Mark, PitchState, TripState } from '../trip/state.ts';
import { frontTopMs, type RopeMark, ropesBelow, ropesOf } from '../trip/two-ropes.ts';

/** A rope this many pitches behind is forecast by itself; one pitch behind is how two ropes climb. */
const APART = 2;

/** The rope that is waited for at the top, and how it finds the route. */
export interface LastRope {
  /** 2 for the one behind the first. */
  rope: number;
  /** Ids of those on it. */
  people: readonly string[];
  /** What was told of it last. */
  told: RopeMark;
  /** Pitches that the rope in front was ahead by then. */
  behind: number;
  /** Every pitch with this rope's own marks. */
  pitches: PitchState[];
  /** Who leads each of them. */
  leads: Lead[];
}

/**
 * The rope that decides when all are up, where the model of two ropes one behind the other no longer does: it is
 * two pitches or more behind, or the rope in front is on top. The forecast is this rope's, from its own stance and by
 * its own pace.
 *
 * @returns undefined while one forecast serves both, and when all are up
 */
export function lastRope(state: TripState): LastRope | undefined {
  const isUp = frontTopMs(state) !== undefined;
  const top = state.pitches.length;
  const all = ropesBelow(state).flatMap((told): LastRope[] => {
    const ahead = state.pitches.filter((p) => p.done !== undefined && p.done.atMs <= told.atMs);
    const behind = ahead.length - told.pitch;
    if (!isUp && behind < APART) return [];
    const pitches = ownPitches(state, told);
    const people = ropesOf(state)[told.rope - 1] ?? [];
    return [
      { rope: told.rope, people, told, behind, pitches, leads: leadsOnRope(state, told.rope) },
    ];
  });
  const doneBy = ({ pitches }: LastRope) => pitches.filter((p) => p.done !== undefined).length;
  return all.filter((rope) => doneBy(rope) < top).sort((a, b) => doneBy(a) - doneBy(b))[0];
}

/** The pitches as the party's forecast finds them: those of the rope that is waited for, else of the one in front. */
export function asForecast(state: TripState): {
  pitches: PitchState[];
  leads: Lead[];
  last?: LastRope;
} {
  const last = lastRope(state);
  if (last === undefined) return { pitches: state.pitches, leads: leads(state) };
  return { pitches: last.pitches, leads: last.leads, last };
}

/** Each pitch with what was told of that rope. A night told higher up is both ropes'. */
function ownPitches(state: TripState, told: RopeMark): PitchState[] {
  const slept = state.nights.findLast((n) => n.sinceMs >= told.atMs && n.pitch > told.pitch);
  const marks = state.ropeMarks.filter((m) => m.rope === told.rope && m.pitch <= told.pitch);
  const doneMs = (pitch: number): Pick<Mark, 'atMs' | 'timeUnknown'> | undefined => {
    const own = marks.findLast((m) => m.pitch === pitch);
    if (own !== undefined) return { atMs: own.atMs };
    const above = marks.filter((m) => m.pitch > pitch).sort((a, b) => a.pitch - b.pitch)[0];
    if (above !== undefined) return { atMs: above.atMs, timeUnknown: true };
    if (slept !== undefined && pitch <= slept.pitch)
      return { atMs: slept.sinceMs, timeUnknown: true };
    return undefined;
  };
  return state.pitches.map(({ started: _s, fixed: _f, done: front, ...pitch }): PitchState => {
    const own = doneMs(pitch.number);
    if (front === undefined || own === undefined) return pitch;
    const { timeUnknown: _u, ...mark } = front;
    // They begin the route once the rope in front has left its first stance to them.
    const begun = pitch.number === 1 && own.atMs > front.atMs ? { started: mark } : {};
    return { ...pitch, ...begun, done: { ...mark, ...own } };
  });
}
