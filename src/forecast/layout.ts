import { effectCount } from './effects.ts';
import type { ForecastInput } from './model.ts';

/**
 * Where the normals of one ascent lie: the effects, the part under way, descent, walk, the start, then the
 * legs from the top down, so that a leg has the same luck whatever has been posted before it.
 */
export interface Layout {
  effects: number;
  underWay: number;
  descent: number;
  walk: number;
  start: number;
  legs: number;
  stagesPerLeg: number;
  count: number;
}

/** Normals of a leg, in order: lead, fix, follow, changeover (the third at the top), pitch, incident, haul, third. */
export const LEG_NORMALS = {
  lead: 0,
  fix: 1,
  follow: 2,
  end: 3,
  pitch: 4,
  incident: 5,
  more: 6,
} as const;

/** Index of the first normal of leg `k`. */
export function legNormals(layout: Layout, legCount: number, k: number): number {
  return layout.legs + (legCount - 1 - k) * layout.stagesPerLeg;
}

/** The layout for the legs still to climb. */
export function layoutOf(input: ForecastInput, legCount: number, current: number): Layout {
  const effects = effectCount(input.climbers.length);
  const stagesPerLeg = LEG_NORMALS.more + (input.haulBag ? 1 : 0) + (input.partySize > 2 ? 1 : 0);
  const legs = effects + 4;
  const count = legs + (legCount - current) * stagesPerLeg;
  const fixed = { underWay: effects, descent: effects + 1, walk: effects + 2, start: effects + 3 };
  return { effects, ...fixed, legs, stagesPerLeg, count };
}
