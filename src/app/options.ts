import { LIMITS } from '../limits.ts';
import { suggestPitches } from './who.ts';

/** A pitch by number, completed while typing; the commands name it in their own words. */
export const pitchOption = (description: string) =>
  ({
    type: 'integer',
    description,
    min: 1,
    max: LIMITS.pitches,
    suggest: suggestPitches,
  }) as const;

/** When something happened, in the wall's zone; now when left out. */
export const toldAtOption = {
  type: 'string',
  description: 'When, if not now: 14:32, -20m, yesterday 22:40',
  maxLength: 40,
} as const;

/** A few words in somebody's own language, kept as they are. */
export const noteOption = (description: string) =>
  ({ type: 'string', description, maxLength: LIMITS.noteLength }) as const;
