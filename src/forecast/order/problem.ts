/** What the fastest lead order is looked for under. Pitches and climbers are indices from 0. */
export interface OrderProblem {
  /**
   * Expected minutes of pitch `[i]` when climber `[j]` leads it, all stages but the changeover;
   * undefined where the pitch is above the climber's ceiling.
   */
  minutes: readonly (readonly (number | undefined)[])[];
  /** Minutes of the changeover before a pitch. The first pitch has none. */
  changeoverMin: {
    /** The same leader goes on. */
    block: number;
    /** Someone who has just followed takes the lead. */
    swing: number;
  };
  /** Fair shares: fewest and most leads of each climber over the whole route; no limit where left out. */
  shares?: readonly { min?: number; max?: number }[];
  /** Who wishes to lead pitch `[i]`; when anyone does, one of them leads it. */
  wishedBy?: readonly (readonly number[] | undefined)[];
  /** Who wishes not to lead pitch `[i]`. */
  notWishedBy?: readonly (readonly number[] | undefined)[];
  /** Assigned by hand: leads pitch `[i]` come what may. */
  pinned?: readonly (number | undefined)[];
  /** Most pitches in a row that one climber leads. */
  maxRun?: number;
  /** What was led before the first pitch here, when the party is already under way. */
  before?: { leader: number; run: number; leads: readonly number[] };
}

/** One demand that an order can break; a set of them is named when no order meets them all. */
export type Demand =
  | { kind: 'ceiling'; pitch: number }
  | { kind: 'pinned'; pitch: number; climber: number }
  | { kind: 'wished'; pitch: number; climbers: readonly number[] }
  | { kind: 'not-wished'; pitch: number; climbers: readonly number[] }
  | { kind: 'least'; climber: number; leads: number }
  | { kind: 'most'; climber: number; leads: number }
  | { kind: 'rest'; run: number };

/** The demands of a problem, one by one, except the ceilings, which no wish can lift. */
export function demandsOf(problem: OrderProblem): Demand[] {
  const demands: Demand[] = [];
  problem.minutes.forEach((_, pitch) => {
    const pinned = problem.pinned?.[pitch];
    if (pinned !== undefined) demands.push({ kind: 'pinned', pitch, climber: pinned });
    const wished = problem.wishedBy?.[pitch];
    if (wished && wished.length > 0) demands.push({ kind: 'wished', pitch, climbers: wished });
    const not = problem.notWishedBy?.[pitch];
    if (not && not.length > 0) demands.push({ kind: 'not-wished', pitch, climbers: not });
  });
  problem.shares?.forEach(({ min, max }, climber) => {
    if (min !== undefined && min > 0) demands.push({ kind: 'least', climber, leads: min });
    if (max !== undefined) demands.push({ kind: 'most', climber, leads: max });
  });
  if (problem.maxRun !== undefined) demands.push({ kind: 'rest', run: problem.maxRun });
  return demands;
}

/** Who may lead each pitch under the ceilings and the demands that speak of one pitch. */
export function allowedLeaders(problem: OrderProblem, demands: readonly Demand[]): number[][] {
  const allowed = problem.minutes.map((row) =>
    row.flatMap((min, climber) => (min === undefined ? [] : [climber])),
  );
  const keep = (pitch: number, test: (climber: number) => boolean) => {
    allowed[pitch] = allowed[pitch]!.filter(test);
  };
  for (const demand of demands) {
    if (demand.kind === 'pinned') keep(demand.pitch, (c) => c === demand.climber);
    if (demand.kind === 'wished') keep(demand.pitch, (c) => demand.climbers.includes(c));
    if (demand.kind === 'not-wished') keep(demand.pitch, (c) => !demand.climbers.includes(c));
  }
  return allowed;
}

/** Even shares give or take `slack`: between ⌊n/m⌋ − slack and ⌈n/m⌉ + slack leads each. */
export function evenShares(
  pitches: number,
  climbers: number,
  slack = 1,
): { min: number; max: number }[] {
  const min = Math.max(0, Math.floor(pitches / climbers) - slack);
  const max = Math.ceil(pitches / climbers) + slack;
  return Array.from({ length: climbers }, () => ({ min, max }));
}
