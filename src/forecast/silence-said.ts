/**
 * Nothing was told since `heardMs`, and silence is held to mean not done until `knownMs` only. If all goes as
 * expected, the pitch `byNow` is done (0: none), and top and trailhead come at those times.
 */
export interface Silence {
  heardMs: number;
  knownMs: number;
  byNow: number;
  topoutMs: number;
  trailheadMs: number;
  /** When the next pitch is done at the soonest, should it not be done by `knownMs`: one in ten. */
  soonestMs?: number;
  /** Odds if they go as expected, by cutoff; those of the last shuttle under no id. */
  cutoffs: { id: string; chance: number }[];
  chanceLast?: number;
  /** The chance to be at the planned night's stance by its stop time, if they go as expected. */
  plannedNight?: number;
}
