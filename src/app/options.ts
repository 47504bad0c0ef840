import { LIMITS } from '../limits.ts';
import { suggestTold } from './told-times.ts';
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

/** A time as people type it. */
export const timeOption = (description: string) =>
  ({ type: 'string', description, maxLength: 40 }) as const;

/** When something happened, in the wall's zone; now when left out. */
export const toldAtOption = {
  ...timeOption('When, if not now: 14:32, -20m, yesterday 22:40'),
  suggest: suggestTold,
} as const;

/** Somebody's own words, kept in the record. */
export const noteOption = (description: string) =>
  ({ type: 'string', description, maxLength: LIMITS.noteLength }) as const;

/** How whoever tells it knows; by radio for those who aren't climbing. */
export const howOption = {
  type: 'string',
  description: 'How you know; radio for whoever is not climbing',
  choices: [
    { name: 'said by the party', value: 'self' },
    { name: 'heard by radio', value: 'radio' },
    { name: 'seen', value: 'seen' },
    { name: 'reached by phone', value: 'reached' },
  ],
} as const;
