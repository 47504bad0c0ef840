/** A quadrature point of a standard normal, and its weight as a probability. */
export interface QuadraturePoint {
  z: number;
  chance: number;
}

/** How far out evenly spaced points lie, in standard deviations. */
export const REACH = 3.6;

/**
 * How far apart even points may lie, in standard deviations of what smooths over the gaps, to hold a
 * chance to about a quarter of a percent.
 */
const SPACING = 1.4;

/**
 * Gauss–Hermite rules of one to seven points for a standard normal (Abramowitz and Stegun, table
 * 25.10, with x√2 for x), each with the weight of a direction up to which it holds a chance to
 * about a quarter of a percent: |Σ pᵢ·Φ(w·zᵢ + a) − Φ(a/√(1+w²))| for any a.
 */
const RULES: readonly { holdsTo: number; points: readonly [number, number][] }[] = [
  { holdsTo: 0.12, points: [[0, 1]] },
  { holdsTo: 0.45, points: [[1, 0.5]] },
  {
    holdsTo: 0.75,
    points: [
      [0, 2 / 3],
      [Math.sqrt(3), 1 / 6],
    ],
  },
  {
    holdsTo: 1,
    points: [
      [0.741963784302726, 0.454124145231931],
      [2.334414218338977, 0.045875854768068],
    ],
  },
  {
    holdsTo: 1.2,
    points: [
      [0, 0.533333333333333],
      [1.355626179974266, 0.222075922005613],
      [2.856970013872806, 0.011257411327721],
    ],
  },
  {
    holdsTo: 1.6,
    points: [
      [0, 0.457142857142857],
      [1.154405394739968, 0.240123178605013],
      [2.366759410734541, 0.030757123967586],
      [3.750439717725742, 0.000548268855972],
    ],
  },
];

/** Quadrature rules for one direction, level by level. Each level has one or two points more. */
export interface QuadratureFamily {
  points(level: number): QuadraturePoint[];
  /** Up to which weight of the direction a level is good enough. */
  holdsTo(level: number): number;
}

/**
 * Points for a standard normal. The weight of a direction is how far one standard deviation along it
 * moves what is looked at, in standard deviations of everything else.
 */
export const NORMAL: QuadratureFamily = {
  points: (level) => {
    const rule = RULES[level];
    if (!rule) return withDensity(evenPoints(-REACH, REACH, normalStep(level)));
    return rule.points.flatMap(([z, chance]) =>
      z === 0
        ? [{ z, chance }]
        : [
            { z: -z, chance },
            { z, chance },
          ],
    );
  },
  holdsTo: (level) => RULES[level]?.holdsTo ?? SPACING / normalStep(level),
};

/** Beyond the rules: eleven points, thirteen, and so on. */
function normalStep(level: number): number {
  return REACH / (5 + level - RULES.length);
}

function withDensity(all: readonly number[]): QuadraturePoint[] {
  const density = (z: number): number => Math.exp(-0.5 * z * z);
  const sum = all.reduce((total, z) => total + density(z), 0);
  return all.map((z) => ({ z, chance: density(z) / sum }));
}

/**
 * Evenly spaced points as far as `reach` to either side, three at least. They have no weights of their
 * own: each has 1, and the caller knows better.
 */
export function evenly(reach: number): QuadratureFamily {
  const step = (level: number): number => reach / (1 + level);
  return {
    points: (level) => evenPoints(-reach, reach, step(level)).map((z) => ({ z, chance: 1 })),
    holdsTo: (level) => SPACING / step(level),
  };
}

/** Multiples of `step` from one end to the other, both ends within. */
export function evenPoints(from: number, to: number, step: number): number[] {
  const first = Math.floor(from / step + 1e-9);
  return Array.from(
    { length: Math.ceil(to / step - 1e-9) - first + 1 },
    (_, i) => (first + i) * step,
  );
}

/** A direction to be given points: its rules, and how far it moves what is looked at. */
export interface Weighted {
  ladder: QuadratureFamily;
  weight: number;
}

/**
 * Points for a product rule over several directions, at most `most` points in all. The direction that
 * needs it most gets the next level, until every direction has enough.
 *
 * @param enough 1: as fine as `QuadratureFamily.holdsTo` says; below 1 finer
 */
export function allotPoints(
  lines: readonly Weighted[],
  most: number,
  enough: number,
): QuadraturePoint[][] {
  const levels = lines.map(() => 0);
  const points = lines.map(({ ladder }) => ladder.points(0));
  const full = lines.map(() => false);
  for (;;) {
    const needs = lines.map(({ ladder, weight }, i) =>
      full[i] ? 0 : weight / ladder.holdsTo(levels[i] as number),
    );
    const i = needs.indexOf(Math.max(...needs));
    if (!((needs[i] ?? 0) > enough)) return points;
    const next = (lines[i] as Weighted).ladder.points((levels[i] as number) + 1);
    const others = points.reduce((product, p, j) => (j === i ? product : product * p.length), 1);
    if (others * next.length > most) {
      full[i] = true;
      continue;
    }
    levels[i] = (levels[i] as number) + 1;
    points[i] = next;
  }
}
