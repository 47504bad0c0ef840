import type { PublishedClimb } from './climbs/type.ts';
import { type Moment, play } from './play.ts';
import { quantile } from './score.ts';

/** Figures of `/trip pace` that are fitted to published climbs; all others are as they are. */
export const CLASS_FIGURES = {
  efficient: 'paceEfficient',
  average: 'paceAverage',
  first: 'paceFirst',
} as const;

/** And how often it holds what a party says of itself. */
const HOLD_FIGURES = {
  efficient: 'holdsEfficient',
  average: 'holdsAverage',
  first: 'holdsFirst',
} as const;

const CLASSES = ['efficient', 'average', 'first'] as const;

/** A climb at pace 1: log(actual / median), and what it counts for. */
export interface Ratio {
  climb: PublishedClimb;
  logRatio: number;
}

/** How every climb went against the figures of the stages alone. */
export async function ratiosOf(
  climbs: readonly PublishedClimb[],
  tried: Readonly<Record<string, number>> = {},
): Promise<Ratio[]> {
  const out: Ratio[] = [];
  const plain = CLASSES.flatMap((c) => [
    [CLASS_FIGURES[c], 1],
    [HOLD_FIGURES[c], 1],
  ]);
  const figures = { ...tried, ...Object.fromEntries(plain) };
  for (const climb of climbs) {
    const [before] = (await play(climb, { classed: true, figures, beforeOnly: true })) as [Moment];
    const logRatio = Math.log(before.actualMin / quantile(before.believed, 0.5));
    out.push({ climb, logRatio });
  }
  return out;
}

/**
 * What is believed of the classes before a climb is looked at: guide’s 45 min for the average, half as long again on a
 * first wall, 22–30 min for the efficient; each give or take a third.
 */
const PRIOR = [Math.log(0.6), 0, Math.log(1.5)];
const PRIOR_SD = 0.3;
/** Climbs of one party are alike: so many of them count for as much as this many of as many parties. */
const countOf = (alike: number): number => (2 * alike) / (1 + alike);
/** A climb strays by this much from its class, as a standard deviation of the logarithm. */
const CLIMB_SD = 0.3;
/** Before any is looked at, what a party says of itself holds in three cases of four, and that counts for four climbs. */
const HOLDS = { share: 0.75, climbs: 4 };
const ROUNDS = 200;

interface Classes {
  /** Logarithm of each class's pace. */
  paces: number[];
  /** How often it holds what a party says of itself. */
  holds: number[];
}

/** Of which class a climb is, given what its party said: a share for each. */
function classOf({ climb, logRatio }: Ratio, { paces, holds }: Classes): number[] {
  const said = CLASSES.indexOf(climb.class);
  const beside = [said - 1, said + 1].filter((c) => c in CLASSES);
  const share = (c: number): number => {
    const hold = holds[said] as number;
    return c === said ? hold : beside.includes(c) ? (1 - hold) / beside.length : 0;
  };
  const likely = paces.map(
    (pace, c) => share(c) * Math.exp(-((logRatio - pace) ** 2) / (2 * CLIMB_SD ** 2)),
  );
  const all = likely.reduce((sum, l) => sum + l, 0);
  return likely.map((l) => l / all);
}

/** The classes’ figures from climbs: a mixture by the EM algorithm (Dempster, Laird & Rubin 1977, J. R. Stat. Soc. B 39, 1–38). */
export function fitted(ratios: readonly Ratio[]): Record<string, number> {
  let classes: Classes = { paces: [...PRIOR], holds: CLASSES.map(() => HOLDS.share) };
  for (let round = 0; round < ROUNDS; round++) {
    const found = ratios.map((ratio) => {
      const alike = ratios.filter((r) => r.climb.party === ratio.climb.party).length;
      const count = countOf(alike) / alike;
      return {
        ...ratio,
        said: CLASSES.indexOf(ratio.climb.class),
        count,
        of: classOf(ratio, classes),
      };
    });
    const sum = (one: (r: (typeof found)[number]) => number): number =>
      found.reduce((total, r) => total + r.count * one(r), 0);
    const paces = CLASSES.map((_, c) => {
      const own = (r: (typeof found)[number]): number => (r.of[c] as number) / CLIMB_SD ** 2;
      const top = (PRIOR[c] as number) / PRIOR_SD ** 2 + sum((r) => own(r) * r.logRatio);
      return top / (1 / PRIOR_SD ** 2 + sum(own));
    });
    const holds = CLASSES.map((_, c) => {
      const said = sum((r) => Number(r.said === c));
      const held = sum((r) => (r.said === c ? (r.of[c] as number) : 0));
      return (HOLDS.share * HOLDS.climbs + held) / (HOLDS.climbs + said);
    });
    classes = { paces, holds };
  }
  const { paces, holds } = classes;
  return Object.fromEntries([
    ...CLASSES.map((c, i) => [CLASS_FIGURES[c], Number(Math.exp(paces[i] as number).toFixed(3))]),
    ...CLASSES.map((c, i) => [HOLD_FIGURES[c], Number((holds[i] as number).toFixed(3))]),
  ]);
}

/** The figures without any climb of that party. */
export function fitWithout(ratios: readonly Ratio[], party: string): Record<string, number> {
  return fitted(ratios.filter((r) => r.climb.party !== party));
}
