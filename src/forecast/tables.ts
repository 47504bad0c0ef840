import type { Compiled } from './compile.ts';
import { legNormals } from './layout.ts';
import type { Leg } from './legs.ts';
import type { Lognormal } from './moments.ts';

/** The legs as flat arrays, for the loop over ascents. A stage that is missing has mu = NONE. */
export interface LegTables {
  count: number;
  leadMu: Float64Array;
  leadSigma: Float64Array;
  fixMu: Float64Array;
  fixSigma: Float64Array;
  followMu: Float64Array;
  followSigma: Float64Array;
  endMu: Float64Array;
  endSigma: Float64Array;
  haulMu: Float64Array;
  haulSigma: Float64Array;
  thirdMu: Float64Array;
  thirdSigma: Float64Array;
  /** Index of the leg's first normal. */
  at: Int32Array;
  /** Index of its pace in the table of paces: two for each leader, the second on aid. */
  pace: Int32Array;
  aid: Uint8Array;
}

/** log of a time nobody notices: stands for a stage that isn't there. */
const NONE = -20;

/** Lays the legs out flat. */
export function legTables(c: Compiled): LegTables {
  const { legs, layout, input } = c;
  const pick = (of: (leg: Leg) => Lognormal | undefined, key: 'mu' | 'sigma'): Float64Array =>
    Float64Array.from(legs, (leg) => of(leg)?.[key] ?? (key === 'mu' ? NONE : 0));
  const both = (of: (leg: Leg) => Lognormal | undefined) => [pick(of, 'mu'), pick(of, 'sigma')];
  const [leadMu, leadSigma] = both((l) => l.stages.lead) as [Float64Array, Float64Array];
  const [fixMu, fixSigma] = both((l) => l.stages.fix) as [Float64Array, Float64Array];
  const [followMu, followSigma] = both((l) => l.stages.follow) as [Float64Array, Float64Array];
  const [haulMu, haulSigma] = both((l) => l.stages.haul) as [Float64Array, Float64Array];
  // At the top the party is complete when the third is up; below, that runs beside the next lead.
  const ending = both((l) => l.stages.changeover ?? l.stages.third);
  const [endMu, endSigma] = ending as [Float64Array, Float64Array];
  const later = both((l) => (l.stages.changeover ? l.stages.third : undefined));
  const [thirdMu, thirdSigma] = later as [Float64Array, Float64Array];
  const climbers = input.climbers.length;
  return {
    count: legs.length,
    leadMu,
    leadSigma,
    fixMu,
    fixSigma,
    followMu,
    followSigma,
    endMu,
    endSigma,
    haulMu,
    haulSigma,
    thirdMu,
    thirdSigma,
    at: Int32Array.from(legs, (_, k) => legNormals(layout, legs.length, k)),
    // A leader who isn't in the list of climbers climbs at the party's pace: the last entry.
    pace: Int32Array.from(legs, ({ leader }) =>
      leader >= 0 && leader < climbers ? 2 * leader : 2 * climbers,
    ),
    aid: Uint8Array.from(legs, ({ aid }) => (aid ? 1 : 0)),
  };
}
