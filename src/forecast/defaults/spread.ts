import type { DefaultRow } from './row.ts';

const RANGE =
  'free pitch 25–75 min round 45 read as an 80 % range: 0.40 in all, shared between party, leader and pitch';

const RAPPELS = 'whole-route rappels of 606 m: 2.5 h and 3.5 h (trip reports)';
const AID = 'aid hours are from memory: the party’s own pitches must overrule them quickly';

function spread(value: number, text: string, source = RANGE): Omit<DefaultRow, 'name'> {
  return { unit: 'log', low: 0.02, value, high: 1, origin: 'engineering', source, text };
}

/** How far a stage strays from its median, and how far parties differ: standard deviations of the logarithm. */
export const SPREAD_DEFAULTS = [
  { name: 'sigmaLeadFree', ...spread(0.3, 'spread of a free lead') },
  { name: 'sigmaLeadAid', ...spread(0.35, 'spread of an aid lead') },
  { name: 'sigmaFix', ...spread(0.4, 'spread of building the anchor') },
  { name: 'sigmaHaul', ...spread(0.4, 'spread of the haul') },
  { name: 'sigmaFollow', ...spread(0.3, 'spread of following and cleaning') },
  { name: 'sigmaThird', ...spread(0.3, 'spread of the third’s part') },
  { name: 'sigmaChangeover', ...spread(0.4, 'spread of the changeover') },
  { name: 'sigmaDescent', ...spread(0.25, 'spread of the descent', RAPPELS) },
  { name: 'sigmaWalk', ...spread(0.15, 'spread of the walk out', 'no source found') },
  { name: 'priorParty', ...spread(0.3, 'how far parties differ in pace before any is known') },
  { name: 'priorLeader', ...spread(0.15, 'how far leaders of one party differ') },
  { name: 'priorAid', ...spread(0.3, 'how far aid pace strays from free pace', AID) },
  {
    name: 'outlierK',
    unit: 'standard deviations',
    low: 1,
    value: 1.5,
    high: 20,
    origin: 'published',
    source: 'Huber 1964, Ann. Math. Stat. 35, 73–101: between 1 and 2',
    text: 'a pitch further off than this pulls on the pace no harder than one just this far',
  },
] as const satisfies readonly DefaultRow[];
