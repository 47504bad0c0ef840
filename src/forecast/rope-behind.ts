import { leadsOnRope } from '../trip/rotation.ts';
import { linkEndsAt, pitchAt, type TripState } from '../trip/state.ts';
import { frontTopMs, ropesBelow } from '../trip/two-ropes.ts';

/** The last lead of the route, led once more by the rope that is waited for at the top. */
export interface LastLeadAgain {
  /** Its first pitch; of a link the lower one. */
  pitch: number;
  leader: string | undefined;
  /** When it was or will be begun, epoch milliseconds. */
  startedMs: number;
}

/**
 * What is still climbed once the rope in front is up. The rope behind is taken to keep its distance: it begins
 * the last lead as long after the rope in front as it was behind where it was told of last. Undefined while the
 * rope in front climbs, and when all are up.
 */
export function lastLeadAgain(state: TripState): LastLeadAgain | undefined {
  const frontMs = frontTopMs(state);
  if (frontMs === undefined) return undefined;
  const top = state.pitches.length;
  const first = linkEndsAt(state, top) ? top - 1 : top;
  const doneMs = (pitch: number) => pitchAt(state, pitch)?.done?.atMs;
  const begunMs = pitchAt(state, first)?.started?.atMs ?? doneMs(first - 1) ?? frontMs;
  const all = ropesBelow(state).map(({ rope, pitch, atMs }): LastLeadAgain => {
    const behindMs = atMs - (doneMs(pitch) ?? atMs);
    return {
      pitch: first,
      leader: leadsOnRope(state, rope)[first - 1]?.leader,
      startedMs: pitch >= first - 1 ? atMs : Math.max(atMs, begunMs + behindMs),
    };
  });
  return all.sort((a, b) => b.startedMs - a.startedMs)[0];
}
