import fc from 'fast-check';

const STEPS = 10_000;

/**
 * Numbers spread evenly over a range, its ends among them. fast-check's own doubles are spread evenly over all doubles
 * there are, of which most are next to zero: a property on them is tried on almost nothing.
 */
export const evenly = (min: number, max: number) =>
  fc.integer({ min: 0, max: STEPS }).map((i) => min + ((max - min) * i) / STEPS);
