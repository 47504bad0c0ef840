/** Share of the speed that is left off a path. */
const OFF_PATH = 0.6;

/**
 * Walking speed by Tobler's hiking function, W = 6·exp(−3.5·|S + 0.05|).
 *
 * Source: Wikipedia, "Tobler's hiking function".
 *
 * @param slope rise over run (tan of the angle), negative downhill
 * @returns km/h, at most 6
 */
export function toblerKmH(slope: number, offPath = false): number {
  return 6 * Math.exp(-3.5 * Math.abs(slope + 0.05)) * (offPath ? OFF_PATH : 1);
}

/**
 * Walking time along a profile by Tobler's hiking function.
 *
 * @param legs stretches of one slope: horizontal distance in km, height gained in m (negative: lost)
 * @returns minutes, not rounded
 */
export function toblerMin(legs: readonly { km: number; riseM: number }[], offPath = false): number {
  let min = 0;
  for (const leg of legs) {
    if (!(leg.km > 0)) throw new RangeError('each leg needs a distance above 0 km');
    min += (leg.km / toblerKmH(leg.riseM / (leg.km * 1000), offPath)) * 60;
  }
  return min;
}
