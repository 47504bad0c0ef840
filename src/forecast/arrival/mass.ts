/**
 * A grid of bins along a work scale. Bin i reaches from half a step below its place to half a step
 * above it, and its probability is uniform within. A place is a number of bins and need not be whole.
 * What lies at one place exactly is shared by the two bins beside it, so that its mean stays. Both
 * keep the order of times.
 */
export interface Grid {
  /** Width of a bin, minutes of work. */
  stepMin: number;
  /** Bin 0 lies at this many steps from the scale's zero. */
  first: number;
  count: number;
}

/** A probability mass function: the probability of each bin. It is zero outside low ≤ i < high. */
export interface ProbabilityMass {
  mass: Float64Array;
  low: number;
  high: number;
}

/** The probability mass function of a duration: `share[i]` is that of `first + i` steps, for i < count. */
export interface DurationMass {
  first: number;
  count: number;
  /** Zero from `count` on, as far as `convolve` looks. */
  share: Float64Array;
}

/** Bins that `convolve` takes at once. */
export const AT_ONCE = 4;

/** A mass function that is zero everywhere. */
export function emptyMass(grid: Grid): ProbabilityMass {
  return { mass: new Float64Array(grid.count), low: 0, high: 0 };
}

/** Whether there is nothing in it. */
export function isEmpty(s: ProbabilityMass): boolean {
  return s.low === s.high;
}

/** Sets a mass function to zero, to be used again. */
export function clear(s: ProbabilityMass): void {
  s.mass.fill(0, s.low, s.high);
  s.low = 0;
  s.high = 0;
}

/** Keeps a place within the grid. */
export function within(grid: Grid, place: number): number {
  return Math.min(grid.count - 2, Math.max(0, place));
}

function widen(s: ProbabilityMass, low: number, high: number): void {
  s.low = isEmpty(s) ? low : Math.min(s.low, low);
  s.high = Math.max(s.high, high);
}

/** Adds probability at one place. */
export function addAt(s: ProbabilityMass, place: number, chance: number): void {
  const i = Math.floor(place);
  const part = place - i;
  s.mass[i] = (s.mass[i] as number) + chance * (1 - part);
  s.mass[i + 1] = (s.mass[i + 1] as number) + chance * part;
  widen(s, i, i + 2);
}

/** Adds probability uniformly between two places. */
export function addUniform(s: ProbabilityMass, from: number, to: number, chance: number): void {
  const first = Math.floor(from + 0.5);
  const last = Math.max(first, Math.ceil(to - 0.5));
  widen(s, first, last + 1);
  for (let i = first; i <= last; i++) {
    const share = (Math.min(i + 0.5, to) - Math.max(i - 0.5, from)) / (to - from);
    s.mass[i] = (s.mass[i] as number) + chance * Math.max(0, share);
  }
}

/** Adds a multiple of another mass function. */
export function addMass(to: ProbabilityMass, from: ProbabilityMass, times = 1): void {
  if (isEmpty(from)) return;
  widen(to, from.low, from.high);
  for (let i = from.low; i < from.high; i++) {
    to.mass[i] = (to.mass[i] as number) + times * (from.mass[i] as number);
  }
}

/** Takes out a share of the probability between two places; returns how much that was. */
export function takeBetween(s: ProbabilityMass, from: number, to: number, part: number): number {
  let taken = 0;
  const first = Math.max(s.low, Math.floor(from + 0.5));
  const last = Math.min(s.high - 1, Math.ceil(to - 0.5));
  for (let i = first; i <= last; i++) {
    const share = part * (Math.min(i + 0.5, to) - Math.max(i - 0.5, from));
    if (share <= 0) continue;
    const here = s.mass[i] as number;
    taken += here * share;
    s.mass[i] = here * (1 - share);
  }
  return taken;
}

/** Less probability than this moves on into the next bin, which saves most of the work in the tails. */
const LITTLE = 1e-7;
/** Ends with less than this are gathered up. */
const END = 1e-9;

/**
 * Convolution: `to` becomes the mass function of `from` plus an independent duration. `to` must be
 * empty. It takes four bins at once, so that each result is fetched and stored once for four products.
 * Nearly all the time of a forecast goes here.
 */
export function convolve(from: ProbabilityMass, steps: DurationMass, to: ProbabilityMass): void {
  if (isEmpty(from)) return;
  const { share, first } = steps;
  const { mass, high } = from;
  const out = to.mass;
  const end = out.length;
  let carried = 0;
  for (let i = from.low; i < high; i += AT_ONCE) {
    const m0 = (mass[i] as number) + carried;
    const m1 = i + 1 < high ? (mass[i + 1] as number) : 0;
    const m2 = i + 2 < high ? (mass[i + 2] as number) : 0;
    const m3 = i + 3 < high ? (mass[i + 3] as number) : 0;
    carried = m0 + m1 + m2 + m3;
    if (carried < LITTLE && i + AT_ONCE < high) continue;
    carried = 0;
    const at = i + first;
    const count = Math.min(steps.count + AT_ONCE - 1, end - at);
    let [s1, s2, s3] = [0, 0, 0];
    for (let j = 0; j < count; j++) {
      const s0 = share[j] as number;
      out[at + j] = (out[at + j] as number) + m0 * s0 + m1 * s1 + m2 * s2 + m3 * s3;
      s3 = s2;
      s2 = s1;
      s1 = s0;
    }
  }
  to.low = Math.min(end - 1, from.low + first);
  to.high = Math.min(end, high + first + steps.count + AT_ONCE - 1);
  trim(to);
}

/** Moves what little lies at either end inwards. */
function trim(s: ProbabilityMass): void {
  const { mass } = s;
  while (s.high - s.low > 1 && (mass[s.low] as number) < END) {
    const here = mass[s.low] as number;
    mass[s.low++] = 0;
    mass[s.low] = (mass[s.low] as number) + here;
  }
  while (s.high - s.low > 1 && (mass[s.high - 1] as number) < END) {
    const here = mass[s.high - 1] as number;
    mass[--s.high] = 0;
    mass[s.high - 1] = (mass[s.high - 1] as number) + here;
  }
}

/** The probability of all bins together, 0–1. */
export function totalMass({ mass, low, high }: ProbabilityMass): number {
  let sum = 0;
  for (let i = low; i < high; i++) sum += mass[i] as number;
  return sum;
}

/** The cumulative distribution at a place, 0–1. */
export function cumulativeAt(s: ProbabilityMass, place: number): number {
  let sum = 0;
  for (let i = s.low; i < s.high && i - 0.5 < place; i++) {
    sum += (s.mass[i] as number) * Math.min(1, place - i + 0.5);
  }
  return sum;
}

/** The cumulative distribution as a function, for many places of a mass function that stays as it is. */
export function cumulativeOf(s: ProbabilityMass): (place: number) => number {
  const below = new Float64Array(s.high - s.low + 1);
  for (let i = s.low; i < s.high; i++) {
    below[i - s.low + 1] = (below[i - s.low] as number) + (s.mass[i] as number);
  }
  return (place) => {
    const at = Math.min(s.high - s.low, Math.max(0, place + 0.5 - s.low));
    const i = Math.floor(at);
    const low = below[i] as number;
    return low + (at - i) * ((below[i + 1] ?? low) - low);
  };
}

/** The quantile `p` as a place; Infinity when there is less probability than that in all. */
export function quantilePlace(s: ProbabilityMass, p: number): number {
  let sum = 0;
  for (let i = s.low; i < s.high; i++) {
    const here = s.mass[i] as number;
    if (here > 0 && sum + here >= p) return i - 0.5 + (p - sum) / here;
    sum += here;
  }
  return Number.POSITIVE_INFINITY;
}
