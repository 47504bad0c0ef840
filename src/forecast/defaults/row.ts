/**
 * Where a default comes from. `published`: handbook, guide's article, standard. `forum`: forum or
 * trip report. `from memory`: no source was found, change it to your own. `common practice`: a habit
 * of the trade, no source. `engineering`: a choice of this program.
 */
export type Origin = 'published' | 'forum' | 'from memory' | 'common practice' | 'engineering';

/** One default: what it is, its unit, the range it may be set to, and where it comes from. */
export interface DefaultRow {
  name: string;
  unit: string;
  low: number;
  value: number;
  high: number;
  origin: Origin;
  /** Where the figure was read, and what was worked out from it. */
  source: string;
  /** What it is, as a person reads it. */
  text: string;
}
