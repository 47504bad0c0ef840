import type { Options } from '../../src/app/command.ts';
import { LIMITS } from '../../src/limits.ts';
import { LENGTH_UNITS, UNIT_NAMES } from '../../src/trip/units.ts';

/** What the party calls the trip. */
export const nameOption = {
  type: 'string',
  description: 'What the party calls it',
  maxLength: LIMITS.nameLength,
} as const;

/** What a trip may be opened with and what may be changed later alike. */
export const basics = {
  place: {
    type: 'string',
    description: 'Where the wall is, in words; or its coordinates from a map',
    maxLength: LIMITS.nameLength,
  },
  lat: { type: 'number', description: 'Latitude in degrees, north positive', min: -90, max: 90 },
  lon: { type: 'number', description: 'Longitude in degrees, east positive', min: -180, max: 180 },
  units: {
    type: 'string',
    description: 'Of lengths: metres unless named',
    choices: LENGTH_UNITS.map((value) => ({ name: UNIT_NAMES[value], value })),
  },
  confidence: {
    type: 'integer',
    description: 'How sure you want to be of every cutoff, in percent: 90 unless named',
    min: 50,
    max: 99,
  },
  emergency: {
    type: 'string',
    description: 'The local emergency number',
    minLength: 2,
    maxLength: 40,
  },
} as const satisfies Options;
