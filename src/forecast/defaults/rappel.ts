import type { DefaultRow } from './row.ts';

/** Figures of a way down by rappel. */
export const RAPPEL_DEFAULTS = [
  {
    name: 'rappelMin',
    unit: 'min',
    low: 1,
    value: 11,
    high: 60,
    origin: 'forum',
    source:
      '606 m of rappels in 150 min by day: 10–12.5 min each at 12–15 rappels (trip report; the count is assumed); 5 min a transition efficient, 15 inefficient (instructor)',
    text: 'one rappel of two people by day: ready, both down, ropes pulled',
  },
  {
    name: 'rappelThirdMin',
    unit: 'min',
    low: 0,
    value: 4,
    high: 30,
    origin: 'from memory',
    source: 'from memory, change it to your own',
    text: 'a rappel for each further person',
  },
  {
    name: 'rappelBagMin',
    unit: 'min',
    low: 0,
    value: 6,
    high: 60,
    origin: 'from memory',
    source: 'from memory, change it to your own',
    text: 'lowering the haul bag, each rappel',
  },
] as const satisfies readonly DefaultRow[];
