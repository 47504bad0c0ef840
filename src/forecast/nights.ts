/**
 * When a party sets off from a stance, and when it sleeps there. All times are minutes since now.
 *
 * A planned night is obeyed: whoever gets to that stance, however early in the day, waits for the next
 * day's start; the limit is the day's own start. Anywhere else the rule, by stance and day, is one limit:
 * ready by the limit, the party goes on at once; later, it waits for the next day's start. The limit is
 * - where the party can sleep: the stop-climbing time, or earlier by what is expected up to the next such
 *   place or the top (at most `stopEarlyMaxMin`), because nobody leaves a good ledge to be caught without one;
 * - where it can't: none, when a place to sleep or the top is within `pushMaxMin` in the dark;
 *   otherwise the stop-climbing time, and the night is sat out where the party is.
 *
 * A night takes evening work, the least rest and morning work: the first move comes no earlier than
 * that after the arrival, nor before the day's start. Where the night isn't planned this rest is cut to
 * the first moment at which the same party could have come by, had it begun the lead below at that day's
 * start. Without the cut whoever came late would be overtaken by its own later self, and time told later
 * could bring the top-out forward. So every rule keeps the order of times: ready later is off later.
 */
export interface NightRules {
  /** Start and stop of climbing, a day each; starts grow, and a stop lies before the next start. */
  startMin: Float64Array;
  stopMin: Float64Array;
  /** By leg to be begun: 1 where all can lie down before it. Leg 0 is begun from the ground; the last entry is the top. */
  bed: Uint8Array;
  /** 1 where a night is planned. */
  planned: Uint8Array;
  /** 1 where the party may end its day: a bed, a planned night, the ground, the top. */
  refuge: Uint8Array;
  /** Evening work, least rest and morning work there; none on the ground. */
  restMin: Float64Array;
  /** Expected minutes of each leg at learnt pace. */
  legMin: Float64Array;
  /** Expected minutes to the next refuge or the top: by daylight, and in the dark. */
  earlyMin: Float64Array;
  pushMin: Float64Array;
  stopEarlyMaxMin: number;
  pushMaxMin: number;
}

/** The day a moment belongs to: the last one begun by then; −1 before the first. */
export function dayOf(startMin: Float64Array, atMin: number): number {
  let d = startMin.length - 1;
  while (d >= 0 && (startMin[d] as number) > atMin) d--;
  return d;
}

/** Latest moment of day `d` at which a party at the stance before leg `k` goes on; minus infinity before the first day. */
export function goOnLimit(rules: NightRules, k: number, d: number, scale: number): number {
  if (d < 0) return Number.NEGATIVE_INFINITY;
  const stop = rules.stopMin[d] as number;
  if (rules.refuge[k] === 1) {
    const early = Math.min((rules.earlyMin[k] as number) * scale, rules.stopEarlyMaxMin);
    return Math.max(stop - early, rules.startMin[d] as number);
  }
  return scale * (rules.pushMin[k] as number) <= rules.pushMaxMin ? Number.POSITIVE_INFINITY : stop;
}

/** Start of day `d`; Infinity when the days given run out. */
function startOf({ startMin }: NightRules, d: number): number {
  return startMin[d] ?? Number.POSITIVE_INFINITY;
}

/**
 * When a party that has been at the stance before leg `k` goes on if it could at `atMin`: at once, or at
 * the start of the next day; Infinity when the days given run out.
 *
 * @param scale pace against the expected one: what a slow party expects grows with it
 */
export function goOn(rules: NightRules, k: number, atMin: number, scale: number): number {
  const d = dayOf(rules.startMin, atMin);
  return atMin <= goOnLimit(rules, k, d, scale) ? atMin : startOf(rules, d + 1);
}

/** First move after a planned night, for a party that arrives at `atMin`. */
export function afterPlanned(rules: NightRules, k: number, atMin: number): number {
  const d = dayOf(rules.startMin, atMin);
  const start = startOf(rules, d) === atMin ? atMin : startOf(rules, d + 1);
  return Math.max(start, atMin + (rules.restMin[k] as number));
}

/**
 * When a party that arrives at the stance before leg `k` at `atMin` sets off.
 *
 * @param lastMin work of the leg it came by, minutes
 */
export function setOff(
  rules: NightRules,
  k: number,
  atMin: number,
  scale: number,
  lastMin: number = rules.legMin[k - 1] ?? 0,
): number {
  if (rules.planned[k] === 1) return goOn(rules, k, afterPlanned(rules, k, atMin), scale);
  const d = dayOf(rules.startMin, atMin);
  const limit = goOnLimit(rules, k, d, scale);
  if (limit === Number.POSITIVE_INFINITY) return atMin;
  // Who comes in the morning after climbing all night rests too, but nobody who began that day.
  const start = startOf(rules, atMin <= limit ? d : d + 1);
  const rested = Math.min(atMin + (rules.restMin[k] as number), start + lastMin);
  return goOn(rules, k, Math.max(atMin, start, rested), scale);
}

/** The latest moment at which a party that has been there may go on and be off by `byMin`: `goOn` backwards. */
export function latestOn(rules: NightRules, k: number, byMin: number, scale: number): number {
  return Math.min(byMin, goOnLimit(rules, k, dayOf(rules.startMin, byMin), scale));
}

/** The latest arrival with a first move after a planned night by `byMin`: `afterPlanned` backwards. */
export function latestForPlanned(rules: NightRules, k: number, byMin: number): number {
  const d = dayOf(rules.startMin, byMin);
  if (d < 0) return Number.NEGATIVE_INFINITY;
  return Math.min(rules.startMin[d] as number, byMin - (rules.restMin[k] as number));
}

/**
 * The latest moment to arrive at the stance before leg `k` and still set off by `byMin`: `setOff`
 * backwards. Minus infinity when even the first day's start is too late.
 */
export function latestReady(
  rules: NightRules,
  k: number,
  byMin: number,
  scale: number,
  lastMin: number = rules.legMin[k - 1] ?? 0,
): number {
  const offMin = latestOn(rules, k, byMin, scale);
  if (rules.planned[k] === 1) return latestForPlanned(rules, k, offMin);
  const d = dayOf(rules.startMin, offMin);
  if (d < 0) return Number.NEGATIVE_INFINITY;
  const pushes = goOnLimit(rules, k, d, scale) === Number.POSITIVE_INFINITY;
  if (pushes || offMin >= (rules.startMin[d] as number) + lastMin) return offMin;
  const rested = offMin - (rules.restMin[k] as number);
  // Whoever went on at the end of the day before was off by then too.
  const before = d > 0 && (rules.startMin[d - 1] as number) + lastMin <= offMin;
  return before ? Math.max(rested, goOnLimit(rules, k, d - 1, scale)) : rested;
}
