import type { DefaultRow } from './row.ts';

const RANGE =
  'free pitch 25–75 min round 45 read as an 80 % range: 0.40 in all, shared between party, leader and pitch';

const RAPPELS = 'whole-route rappels of 606 m: 2.5 h and 3.5 h (trip reports)';
const WALK =
  'one walk took 1.40–1.46 times as long in the dark, others as long (trip reports): half of that by day';
const OURS = 'no source found; engineering choice';
const CLIMBS = 'published climbs with clock times (tests/truth), each left out in turn';
const CHANGES = 'changeovers of 3 to 20 min and more (mountainproject 111227713)';
const AID = 'aid hours are from memory: the party’s own pitches must overrule them quickly';

function spread(value: number, text: string, source = RANGE): Omit<DefaultRow, 'name'> {
  return { unit: 'log', low: 0, value, high: 1, origin: 'engineering', source, text };
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
  { name: 'sigmaDescent', ...spread(0.35, 'spread of the descent', RAPPELS) },
  { name: 'sigmaWalk', ...spread(0.3, 'spread of the walk out', WALK) },
  {
    name: 'sigmaPitch',
    ...spread(
      0.18,
      'how far one pitch strays as a whole; heavy-tailed: Student’s t with 4 degrees of freedom, so in all 1.4 times that',
    ),
  },
  {
    name: 'priorParty',
    ...spread(0.6, 'how far parties differ when nobody says how fast this one is', CLIMBS),
  },
  {
    name: 'priorClass',
    ...spread(0.1, 'how far parties of one class differ', CLIMBS),
  },
  {
    name: 'priorTrip',
    ...spread(
      0.15,
      'how far one climb of a party strays from its others, where the pace is taken from an earlier trip',
      CLIMBS,
    ),
  },
  {
    name: 'carriedShare',
    ...spread(
      0.7,
      'how much of what an earlier trip taught of leaders, aid, hauling and changeovers holds on the next',
      OURS,
    ),
    unit: 'share',
  },
  {
    name: 'priorLeader',
    ...spread(0.15, 'how far leaders of one party differ on free pitches', OURS),
  },
  { name: 'priorLeaderAid', ...spread(0.25, 'how far leaders of one party differ on aid', AID) },
  { name: 'priorAid', ...spread(0.3, 'how far aid pace strays from free pace', AID) },
  { name: 'priorHaul', ...spread(0.35, 'how far hauling strays from the rest', AID) },
  { name: 'priorChangeover', ...spread(0.3, 'how far changeovers stray from the rest', CHANGES) },
  { name: 'priorDay', ...spread(0.1, 'how far one day strays from the others', CLIMBS) },
  {
    name: 'priorDrift',
    ...spread(0.35, 'how far the pace drifts from the bottom of the route to the top', CLIMBS),
  },
] as const satisfies readonly DefaultRow[];
