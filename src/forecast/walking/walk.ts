/** A walk as a guidebook gives it. */
export interface Walk {
  /** Distance along the path, km. */
  km: number;
  /** Sum of all ascent, m. */
  upM: number;
  /** Sum of all descent, m, as a positive figure. */
  downM: number;
}

/**
 * Holds a walk to sense, since a walking time is added to everything that follows it.
 *
 * @throws RangeError for a negative or unusable figure
 */
export function assertWalk(walk: Walk): void {
  for (const name of ['km', 'upM', 'downM'] as const) {
    const value = walk[name];
    if (!Number.isFinite(value) || value < 0) throw new RangeError(`${name} must be 0 or more`);
  }
}
