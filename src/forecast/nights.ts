/**
 * When a party sets off from a stance, and when it sleeps there. All times are minutes since now.
 *
 * The rule, by stance and day, is one limit: ready by the limit, the party goes on at once; later, it waits
 * for the next day's start. A planned night belongs to one day's evening, and is obeyed: whoever gets to that
 * stance on that day or before it, however early, waits for the next day's start, so the limit is the day's
 * own start. Whoever comes a day later has slept lower down, and goes on as anywhere else. There the limit is
 * - where the party can sleep: the stop-climbing time, or earlier by what is expected up to the next such
 *   place or the top (at most `stopEarlyMaxMin`), because nobody leaves a good ledge to be caught without one;
 * - where it can't: none, when a place to sleep or the top is within `pushMaxMin` in the dark;
 *   otherwise the stop-climbing time, and the night is sat out where the party is.
 *
 * A night takes evening work, the least rest and morning work: the first move comes no earlier than
 * that after the arrival, nor before the day's start. This rest is cut to the first moment at which the
 * same party could have come by, had it slept below and begun the lead up to here at that day's start. Without the cut whoever came late would be overtaken by its own later self, and time told later
 * could bring the top-out forward. So every rule keeps the order of times: ready later is off later.
 */
export interface NightRules {
  /** Start and stop of climbing, a day each; starts grow, and a stop lies before the next start. */
  startMin: Float64Array;
  stopMin: Float64Array;
  /** By leg to be begun: 1 where all can lie down before it. Leg 0 is begun from the ground; the last entry is the top. */
  bed: Uint8Array;
  /** The day whose evening a night is planned for there; `NO_NIGHT` where none is. */
  nightDay: Int32Array;
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

/** No night is planned there. It lies before every day that `dayOf` knows. */
export const NO_NIGHT = -2;

/** The day a moment belongs to: the last one begun by then; −1 before the first. */
export function dayOf(startMin: Float64Array, atMin: number): number {
  let d = startMin.length - 1;
  while (d >= 0 && (startMin[d] as number) > atMin) d--;
  return d;
}

/**
 * Latest moment of day `d` at which a party at the stance before leg `k` goes on; minus infinity before the first day,
 * but where it goes on at any hour.
 */
export function goOnLimit(rules: NightRules, k: number, d: number, scale: number): number {
  const stop = rules.stopMin[d] ?? Number.NEGATIVE_INFINITY;
  if (rules.refuge[k] === 1) {
    if (d < 0) return Number.NEGATIVE_INFINITY;
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

/** Latest moment of day `d` at which a party that arrives before leg `k` goes on that day. */
function arrivalLimit(rules: NightRules, k: number, d: number, scale: number): number {
  return d <= (rules.nightDay[k] as number)
    ? (rules.startMin[d] ?? Number.NEGATIVE_INFINITY)
    : goOnLimit(rules, k, d, scale);
}

/** When a party that arrives at `atMin` and moves on day `d` has rested. */
function restedBy(rules: NightRules, k: number, atMin: number, d: number, lastMin: number): number {
  const start = startOf(rules, d);
  return Math.max(atMin, start, Math.min(atMin + (rules.restMin[k] as number), start + lastMin));
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
  const d = dayOf(rules.startMin, atMin);
  const limit = arrivalLimit(rules, k, d, scale);
  if (limit === Number.POSITIVE_INFINITY) return atMin;
  // Who comes in the morning after climbing all night rests too, but nobody who began that day.
  const moves = atMin <= limit ? d : d + 1;
  return goOn(rules, k, restedBy(rules, k, atMin, moves, lastMin), scale);
}

/**
 * When the way down begins for a party on top at `atMin`: at once, or after the night planned there. Who
 * comes on the morning after that night's day has climbed through it, and rests too.
 */
export function downFrom(rules: NightRules, atMin: number, lastMin: number): number {
  const top = rules.legMin.length;
  const d = dayOf(rules.startMin, atMin);
  const nightDay = rules.nightDay[top] as number;
  if (nightDay === NO_NIGHT || d > nightDay + 1) return atMin;
  const sleeps = d <= nightDay && atMin > (rules.startMin[d] ?? Number.NEGATIVE_INFINITY);
  return restedBy(rules, top, atMin, sleeps ? d + 1 : d, lastMin);
}

/** The latest moment on top for a way down that begins by `byMin`: `downFrom` backwards. */
export function latestTop(rules: NightRules, byMin: number, lastMin: number): number {
  const top = rules.legMin.length;
  const d = dayOf(rules.startMin, byMin);
  const nightDay = rules.nightDay[top] as number;
  if (nightDay === NO_NIGHT || d > nightDay + 1) return byMin;
  if (d < 0) return Number.NEGATIVE_INFINITY;
  return latestArrival(rules, top, byMin, d, lastMin);
}

/** The latest arrival that has rested by `byMin`, a moment of day `d`; who goes on the evening before is left out. */
function latestArrival(
  rules: NightRules,
  k: number,
  byMin: number,
  d: number,
  lastMin: number,
): number {
  const start = rules.startMin[d] as number;
  const sleeps = d <= (rules.nightDay[k] as number);
  const rested = byMin >= start + lastMin ? byMin : byMin - (rules.restMin[k] as number);
  return sleeps ? Math.min(start, rested) : rested;
}

/** The latest moment at which a party that has been there may go on and be off by `byMin`: `goOn` backwards. */
export function latestOn(rules: NightRules, k: number, byMin: number, scale: number): number {
  return Math.min(byMin, goOnLimit(rules, k, dayOf(rules.startMin, byMin), scale));
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
  const { startMin } = rules;
  const offMin = latestOn(rules, k, byMin, scale);
  const d = dayOf(startMin, offMin);
  if (arrivalLimit(rules, k, d, scale) === Number.POSITIVE_INFINITY) return offMin;
  if (d < 0) return Number.NEGATIVE_INFINITY;
  const latest = latestArrival(rules, k, offMin, d, lastMin);
  if (d === 0 || offMin < (startMin[d - 1] as number) + lastMin) return latest;
  // Whoever went on at the end of the day before was off by then too.
  return Math.max(latest, arrivalLimit(rules, k, d - 1, scale));
}
