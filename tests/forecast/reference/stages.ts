import { DEFAULTS } from '../../../src/forecast/defaults.ts';
import type { ForecastInput, ForecastPitch } from '../../../src/forecast/model.ts';

/** The defaults are data, read here by name; everything done with them is written anew. */
export function setting(input: ForecastInput, name: string): number {
  const row = DEFAULTS.find((r) => r.name === name);
  if (!row) throw new Error(name);
  return input.settings[name] ?? row.value;
}

export interface Stage {
  median: number;
  sigma: number;
  /** Which effects stretch it. */
  leader: boolean;
  aid: boolean;
  haul?: true;
  change?: true;
}

export interface RefLeg {
  pitches: number[];
  /** Its place on the route: 0 is the ground, 1 the top. */
  place: number;
  onAid: boolean;
  leader: number;
  lead: Stage;
  fix: Stage;
  haul: Stage | undefined;
  follow: Stage;
  change: Stage | undefined;
  third: Stage | undefined;
}

const clamp = (x: number, low: number, high: number): number => Math.min(high, Math.max(low, x));

function onAid(p: ForecastPitch): boolean {
  return p.mode === 'aid' && (p.aidGrade ?? 2) >= 1;
}

function leadMedian(input: ForecastInput, p: ForecastPitch): number {
  const s = (name: string): number => setting(input, name);
  if (!onAid(p)) {
    const gap = clamp(p.gapSteps ?? s('gapUnknownSteps'), -8, 4);
    const perStep = s(gap > -4 ? 'freeGapPerStep' : 'freeEasyPerStep');
    return p.lengthM * s('freeLeadMinPerM') * Math.exp(perStep * (gap + 4));
  }
  const gap = clamp(p.gapSteps ?? -1, -1, 4);
  const grade = p.aidGrade ?? 2;
  const logRate = (n: number) => Math.log(s(`aid${n}LeadMinPerM`));
  const rate = Math.exp((logRate(Math.floor(grade)) + logRate(Math.ceil(grade))) / 2);
  return p.lengthM * rate * Math.exp(s('aidGapPerStep') * (gap + 1));
}

function haulMedian(input: ForecastInput, lengthM: number): number {
  const s = (name: string): number => setting(input, name);
  const kg = clamp(input.bagKg ?? s('bagKg'), 40, 150);
  const [light, heavy, most] = [
    s('haulLightMPerMin'),
    s('haulHeavyMPerMin'),
    s('haulExtremeMPerMin'),
  ];
  const logRate =
    kg <= 90
      ? Math.log(light) + ((kg - 40) / 50) * Math.log(heavy / light)
      : Math.log(heavy) + ((kg - 90) / 60) * Math.log(most / heavy);
  return s('haulSetupMin') + lengthM / Math.exp(logRate);
}

function legOf(input: ForecastInput, indices: number[], place: number, top: boolean): RefLeg {
  const s = (name: string): number => setting(input, name);
  const pitches = indices.map((i) => input.pitches[i] as ForecastPitch);
  const aid = pitches.some(onAid);
  const lengthM = pitches.reduce((sum, p) => sum + p.lengthM, 0);
  let follow = 0;
  let third = 0;
  for (const p of pitches) {
    const own = p.lengthM * s(onAid(p) ? 'cleanMinPerM' : 'freeFollowMinPerM');
    follow += own;
    third += onAid(p) ? p.lengthM * s('jugMinPerM') : own * s('thirdFollowShare');
  }
  const leads = pitches.map((p) => ({
    median: leadMedian(input, p),
    sigma: s(onAid(p) ? 'sigmaLeadAid' : 'sigmaLeadFree'),
  }));
  let lead = leads[0] as { median: number; sigma: number };
  if (leads.length > 1) {
    // A link is one lead: the lognormal with the mean and variance of the sum.
    const mean = leads.reduce((sum, l) => sum + l.median * Math.exp(l.sigma ** 2 / 2), 0);
    const variance = leads.reduce(
      (sum, l) => sum + l.median ** 2 * Math.exp(l.sigma ** 2) * (Math.exp(l.sigma ** 2) - 1),
      0,
    );
    const sigma = Math.sqrt(Math.log(1 + variance / mean ** 2));
    lead = { median: mean / Math.exp(sigma ** 2 / 2), sigma };
  }
  const plain = (median: number, name: string): Stage => {
    return { median, sigma: s(name), leader: false, aid: false };
  };
  const extra = (input.ropeSize ?? input.partySize) - 2;
  const behind = (input.ropes ?? 1) - 1;
  const thirdOf = () => {
    // A rope behind leads every pitch itself, and is waited for at the top.
    if (behind > 0)
      return top ? plain(behind * (lead.median + s('fixMin') + follow), 'sigmaThird') : undefined;
    return extra > 0 ? plain(third * extra, 'sigmaThird') : undefined;
  };
  const change = s(input.haulBag || aid ? 'wallChangeoverMin' : 'changeoverMin');
  return {
    pitches: indices,
    place,
    onAid: aid,
    leader: pitches[0]?.actual?.leader ?? (pitches[0] as ForecastPitch).leader,
    lead: { ...lead, leader: true, aid },
    fix: { ...plain(s('fixMin'), 'sigmaFix'), leader: true },
    haul: input.haulBag
      ? { ...plain(haulMedian(input, lengthM), 'sigmaHaul'), haul: true }
      : undefined,
    follow: { ...plain(follow, 'sigmaFollow'), aid },
    change: top ? undefined : { ...plain(change, 'sigmaChangeover'), change: true },
    third: thirdOf(),
  };
}

/** The route as leads. Parties' own figures for a pitch are not part of the reference. */
export function refLegs(input: ForecastInput): RefLeg[] {
  const groups: number[][] = [];
  input.pitches.forEach((_, i) => {
    const linked = i > 0 && input.pitches[i - 1]?.linkedToNext;
    if (linked) (groups.at(-1) as number[]).push(i);
    else groups.push([i]);
  });
  return groups.map((g, k) => legOf(input, g, (k + 0.5) / groups.length, k === groups.length - 1));
}
