import { LIMITS } from '../../src/limits.ts';

/** What it is called unless named. */
export const SHUTTLE = 'shuttle';

export const shuttleNameOption = {
  type: 'string',
  description: 'What to call it: boat, bus; shuttle unless named',
  maxLength: LIMITS.nameLength,
} as const;
