/** A point that stands for part of a standard normal. */
export interface Point {
  z: number;
  chance: number;
}

/**
 * Gauss–Hermite rules of one to five points for a standard normal (Abramowitz and Stegun, table
 * 25.10, with x√2 for x), each with the weight of a direction up to which it holds a chance to
 * about a quarter of a percent: |Σ pᵢ·Φ(w·zᵢ + a) − Φ(a/√(1+w²))| for any a.
 */
const RULES: readonly { upTo: number; points: readonly [number, number][] }[] = [
  { upTo: 0.12, points: [[0, 1]] },
  { upTo: 0.45, points: [[1, 0.5]] },
  {
    upTo: 0.75,
    points: [
      [0, 2 / 3],
      [Math.sqrt(3), 1 / 6],
    ],
  },
  {
    upTo: 1,
    points: [
      [0.741963784302726, 0.454124145231931],
      [2.334414218338977, 0.045875854768068],
    ],
  },
  {
    upTo: 1.2,
    points: [
      [0, 0.533333333333333],
      [1.355626179974266, 0.222075922005613],
      [2.856970013872806, 0.011257411327721],
    ],
  },
];

/** Beyond the rules, points lie evenly, this far apart in standard deviations of what smooths over the gaps. */
const SPACING = 1.4;
/** How far out they go, in standard deviations. */
export const REACH = 3.6;

/**
 * Points for a direction, by its weight: how far one standard deviation along it moves what is looked
 * at, in standard deviations of everything else.
 *
 * @param coarse 1 as fine as said above; 2 as if the weight were half, and so on
 */
export function linePoints(weight: number, coarse: number): Point[] {
  const rule = RULES.find(({ upTo }) => weight <= upTo * coarse);
  if (rule) {
    return rule.points.flatMap(([z, chance]) =>
      z === 0
        ? [{ z, chance }]
        : [
            { z: -z, chance },
            { z, chance },
          ],
    );
  }
  const all = evenPoints(-REACH, REACH, evenStep(weight, coarse));
  const density = (z: number): number => Math.exp(-0.5 * z * z);
  const sum = all.reduce((total, z) => total + density(z), 0);
  return all.map((z) => ({ z, chance: density(z) / sum }));
}

/** Step of points that lie evenly along a direction of this weight. */
export function evenStep(weight: number, coarse: number): number {
  return (SPACING * coarse) / weight;
}

/** Multiples of `step` from one end to the other, both ends within. */
export function evenPoints(from: number, to: number, step: number): number[] {
  const first = Math.floor(from / step);
  return Array.from({ length: Math.ceil(to / step) - first + 1 }, (_, i) => (first + i) * step);
}
