import { describe, expect, it } from 'vitest';
import { coordinatesIn } from '../../src/trip/coordinates.ts';

/** ISO 6709: latitude before longitude, north and east positive, degrees, minutes and seconds of 60. */
describe('coordinates as a map gives them', () => {
  it.each([
    ['62.1, 6.9', 62.1, 6.9],
    ['62.1034567,6.9012345', 62.1034567, 6.9012345],
    ['  62.1 6.9 ', 62.1, 6.9],
    ['-33.5, +70.25', -33.5, 70.25],
    ['33.5° S, 70.25° W', -33.5, -70.25],
    ['62.1N 6.9E', 62.1, 6.9],
    [`62°06'00.0"N 6°54'00.0"E`, 62.1, 6.9],
    ['33°30′ s; 70°15′ w', -33.5, -70.25],
    ['-0.5, 0.5', -0.5, 0.5],
  ])('%s', (text, lat, lon) => {
    const found = coordinatesIn(text);
    expect(found?.lat).toBeCloseTo(lat, 9);
    expect(found?.lon).toBeCloseTo(lon, 9);
  });

  it.each([
    'Lantern Gorge',
    '62.1',
    'Wall 62.1, 6.9',
    '6.9E 62.1N',
    '62.1, 6.9, 120',
    '1.2.3 4',
    '',
  ])('%s is none', (text) => {
    expect(coordinatesIn(text)).toBeUndefined();
  });
});
