import type { TripState } from './state.ts';
import { toldRopes } from './two-ropes.ts';

/** How far the ropes carried reach on a rappel, metres. */
export interface RappelReach {
  reachM: number;
  /** Two ropes joined; otherwise the longest one, doubled. */
  how: 'joined' | 'single';
  /** A second rope isn't known to be carried, and the reach is that with one as long as the lead line. */
  unsure?: true;
}

/**
 * How far one rappel can go. Two ropes joined reach as far as the shorter of them, one rope half its length: 60 m and
 * 30 m with ropes of 60 m (monsterclimbs.com/2012/03/from-the-ground-up). Of all that are carried the best way is
 * taken, so one more rope, or a longer one, never reaches less far. Who climb on two ropes have two lead lines. Where
 * neither haul nor tag line was told, one as long as the lead line may be carried.
 */
export function rappelReach(state: TripState): RappelReach {
  const { leadLineM, haulLineM, tagLineM } = state.settings;
  const leads = toldRopes(state) ? [leadLineM, leadLineM] : [leadLineM];
  const isUnsure = leads.length === 1 && haulLineM === undefined && tagLineM === undefined;
  if (isUnsure) return { reachM: leadLineM, how: 'joined', unsure: true };
  const [longestM = 0, secondM = 0] = [...leads, haulLineM ?? 0, tagLineM ?? 0].sort(
    (a, b) => b - a,
  );
  return secondM >= longestM / 2
    ? { reachM: secondM, how: 'joined' }
    : { reachM: longestM / 2, how: 'single' };
}

/**
 * A rappel that comes so near the rope's end is said: knots, a slanting line and a rope shorter than its label take
 * some of it. Engineering choice; "it's close so tie knots" is said of 30 m with one rope of 60 m
 * (cascadeclimbers.com, a poster on a route they equipped).
 */
export const KNOTS_M = 2;

/** Metres of pitches from one stance down to another; 0 is the ground. */
export function lengthDownM({ pitches }: TripState, from: number, to: number): number {
  return pitches.slice(to, from).reduce((sum, p) => sum + p.lengthM, 0);
}
