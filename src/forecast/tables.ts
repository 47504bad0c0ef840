import type { Compiled } from './compile.ts';
import { dayEffect, driftEffect } from './effects.ts';
import { legNormals } from './layout.ts';
import type { Leg } from './legs.ts';
import type { Lognormal } from './moments.ts';

/** The legs as flat arrays, for the loop over ascents. */
export interface LegTables {
  count: number;
  /**
   * mu and sigma of each stage, leg after leg, in the order the normals are drawn: lead, fix, follow,
   * changeover (the third at the top), haul, third. Side by side, because the loop reads them so.
   */
  stages: Float64Array;
  /** Index of the leg's first normal. */
  at: Int32Array;
  /** Place of its leader in the table of leaders' paces: two for each, the second on aid. */
  pace: Int32Array;
  aid: Uint8Array;
  /** 1 where a changeover ends the leg, 0 at the top. */
  changes: Uint8Array;
  /** Index of the effect of its day; −1 where the day isn't known. */
  day: Int32Array;
  /** Index of the first effect of the drift, and its terms' values, leg after leg. */
  driftFrom: number;
  drift: Float64Array;
}

/** Numbers of `LegTables.stages` for one leg. */
export const LEG_STRIDE = 12;

/** log of a time nobody notices: stands for a stage that isn't there. */
const NONE: Lognormal = { mu: -20, sigma: 0 };

function inOrder({ stages: s }: Leg): Lognormal[] {
  // At the top the party is complete when the third is up; below, that runs beside the next lead.
  const end = s.changeover ?? s.third ?? NONE;
  const third = (s.changeover && s.third) || NONE;
  return [s.lead, s.fix, s.follow, end, s.haul ?? NONE, third];
}

/** Lays the legs out flat. */
export function legTables(c: Compiled): LegTables {
  const { legs, layout, input } = c;
  const climbers = input.climbers.length;
  return {
    count: legs.length,
    stages: Float64Array.from(legs.flatMap(inOrder).flatMap(({ mu, sigma }) => [mu, sigma])),
    at: Int32Array.from(legs, (_, k) => legNormals(layout, legs.length, k)),
    // A leader who isn't in the list of climbers climbs at the party's pace: the last entry.
    pace: Int32Array.from(legs, ({ leader }) =>
      leader >= 0 && leader < climbers ? 2 * leader : 2 * climbers,
    ),
    aid: Uint8Array.from(legs, ({ aid }) => (aid ? 1 : 0)),
    changes: Uint8Array.from(legs, ({ stages }) => (stages.changeover ? 1 : 0)),
    day: Int32Array.from(legs, ({ day }) => (day < 0 ? -1 : dayEffect(climbers, day))),
    driftFrom: driftEffect(climbers),
    drift: Float64Array.from(legs.flatMap((leg) => leg.drift)),
  };
}
