/** A spell in which it may rain, [fromMs, toMs) in epoch milliseconds, with the chance that it does, 0–1. */
export interface RainSpell {
  fromMs: number;
  toMs: number;
  chance: number;
}

/** What the rain that was told does to the ascents. */
export interface RainForecast {
  /** Chance to be on top before any of it begins. */
  dryTop: number;
  /** Chance that it begins while they are on the wall. */
  caught: number;
  /** The stance where those who are caught wait most often, 0 on the ground, and the chance of it. */
  where?: { pitch: number; chance: number };
  /** How much later those who are caught are on top, in the middle, minutes; Infinity: not within the days given. */
  costMin?: number;
}
