import type { DefaultRow } from './row.ts';

const CLIMBS = 'published climbs with clock times (tests/truth)';

function pace(value: number, text: string, source = CLIMBS): Omit<DefaultRow, 'name'> {
  return { unit: '×', low: 0.2, value, high: 4, origin: 'forum', source, text };
}

/** How fast the party is believed to be before anything is climbed: on all times of the stages. */
export const PARTY_DEFAULTS = [
  { name: 'paceEfficient', ...pace(0.4, 'pace of a party that says it is efficient') },
  { name: 'paceAverage', ...pace(0.7, 'pace of a party that says it is average') },
  {
    name: 'paceFirst',
    ...pace(
      1.3,
      'pace of a party on its first wall together',
      `between ${CLIMBS}, four of them: 1.0, and an hour and a half to lead 40 m of C1 (common practice): 1.4`,
    ),
  },
  { name: 'paceUnknown', ...pace(0.7, 'pace of a party that doesn’t say') },
] as const satisfies readonly DefaultRow[];
