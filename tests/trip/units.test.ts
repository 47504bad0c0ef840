import fc from 'fast-check';
import { expect, test } from 'vitest';
import { fromMetres, lengthText, toMetres } from '../../src/trip/units.ts';

// NIST Special Publication 811 (2008), appendix B.8: foot to metre (m), 3.048 E-01, exact.
test('a foot is 0.3048 m exactly', () => {
  expect(fromMetres(0.3048, 'ft')).toBe(1);
  expect(toMetres(1, 'ft')).toBe(0.3048);
  expect(toMetres(100, 'ft')).toBe(30.48);
  expect(toMetres(38.5, 'm')).toBe(38.5);
});

test('lengths are shown whole, in the unit asked for', () => {
  expect(lengthText(38.4, 'm')).toBe('38 m');
  expect(lengthText(38.1, 'ft')).toBe('125 ft');
  expect(lengthText(0.3048, 'ft')).toBe('1 ft');
});

test('whole feet typed are the same whole feet shown', () => {
  fc.assert(
    fc.property(fc.integer({ min: 1, max: 500 }), (feet) => {
      expect(lengthText(toMetres(feet, 'ft'), 'ft')).toBe(`${feet} ft`);
    }),
  );
});
