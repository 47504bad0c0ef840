import type { DefaultRow } from './row.ts';

const CLIMBS = 'published climbs with clock times (tests/truth)';

function pace(value: number, text: string, source = CLIMBS): Omit<DefaultRow, 'name'> {
  return { unit: '×', low: 0.2, value, high: 4, origin: 'forum', source, text };
}

function holds(value: number, said: string, otherwise: string): Omit<DefaultRow, 'name'> {
  const text = `how often a party that says it is ${said} is; otherwise it is ${otherwise}`;
  return { unit: 'share', low: 0, value, high: 1, origin: 'forum', source: CLIMBS, text };
}

/** How fast the party is believed to be before anything is climbed: on all times of the stages. */
export const PARTY_DEFAULTS = [
  { name: 'paceEfficient', ...pace(0.4, 'pace of a party that says it is efficient') },
  { name: 'paceAverage', ...pace(0.72, 'pace of a party that says it is average') },
  {
    name: 'paceFirst',
    ...pace(
      1.3,
      'pace of a party on its first wall together',
      `between ${CLIMBS}, four of them: 1.0, and an hour and a half to lead 40 m of C1 (common practice): 1.4`,
    ),
  },
  { name: 'paceUnknown', ...pace(0.7, 'pace of a party that doesn’t say') },
  { name: 'holdsEfficient', ...holds(0.9, 'efficient', 'average') },
  { name: 'holdsAverage', ...holds(0.8, 'average', 'efficient or new to walls') },
  { name: 'holdsFirst', ...holds(0.7, 'on its first wall', 'average') },
] as const satisfies readonly DefaultRow[];
