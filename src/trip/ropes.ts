import type { TripState } from './state.ts';

/** How far the ropes carried reach on a rappel, metres. */
export interface RappelReach {
  reachM: number;
  /** Two ropes joined; otherwise the lead line, doubled. */
  how: 'joined' | 'single';
  /** A second rope isn't known to be carried, and the reach is that with one as long as the lead line. */
  unsure?: true;
}

/**
 * How far one rappel can go. Two ropes joined reach as far as the shorter of them, a single one half its
 * length (common practice, no source; it follows from threading the anchor). Of haul and tag line the
 * longer one is joined with the lead line. Where neither was told, one may be carried.
 */
export function rappelReach({ settings }: TripState): RappelReach {
  const { leadLineM, haulLineM, tagLineM } = settings;
  const second = Math.max(haulLineM ?? 0, tagLineM ?? 0);
  if (second > 0) return { reachM: Math.min(leadLineM, second), how: 'joined' };
  return haulLineM === undefined && tagLineM === undefined
    ? { reachM: leadLineM, how: 'joined', unsure: true }
    : { reachM: leadLineM / 2, how: 'single' };
}

/** Metres of pitches from one stance down to another; 0 is the ground. */
export function lengthDownM({ pitches }: TripState, from: number, to: number): number {
  return pitches.slice(to, from).reduce((sum, p) => sum + p.lengthM, 0);
}
