import fc from 'fast-check';
import { IANAZone } from 'luxon';
import { describe, expect, it } from 'vitest';
import { wallTime } from '../../src/time/zone.ts';

// Offsets are kept by the hour; held here against the zone database itself (as Intl has it), asked anew.
const ZONES = [
  'Europe/Oslo',
  'America/St_Johns',
  'Australia/Lord_Howe',
  'Asia/Kathmandu',
  'Africa/Casablanca',
  'America/Los_Angeles',
  'Pacific/Apia',
  'UTC',
];
const fresh = (zone: string, ms: number) => IANAZone.create(zone).offset(ms);

describe('offsets kept by the hour', () => {
  it('are those of the zone at any instant', () => {
    const instant = fc.integer({ min: Date.UTC(1975, 0, 1), max: Date.UTC(2037, 0, 1) });
    fc.assert(
      fc.property(fc.constantFrom(...ZONES), instant, (zone, ms) => {
        expect(wallTime(zone, ms).offsetMin).toBe(fresh(zone, ms));
      }),
      { numRuns: 300 },
    );
  });

  it('are right to the millisecond at both sides of every change of five years', () => {
    const DAY = 86_400_000;
    let changes = 0;
    for (const zone of ZONES) {
      for (let ms = Date.UTC(2009, 0, 1); ms < Date.UTC(2014, 0, 1); ms += DAY) {
        if (fresh(zone, ms) === fresh(zone, ms + DAY)) continue;
        let [low, high] = [ms, ms + DAY];
        while (high - low > 1) {
          const middle = Math.floor((low + high) / 2);
          if (fresh(zone, middle) === fresh(zone, low)) low = middle;
          else high = middle;
        }
        changes++;
        for (const at of [low - 1, low, high, high + 1, high - 1_800_000, high + 1_799_999]) {
          expect(wallTime(zone, at).offsetMin).toBe(fresh(zone, at));
        }
      }
    }
    // Two a year in four zones, a dozen in Morocco, and Samoa's day that was left out.
    expect(changes).toBeGreaterThan(50);
  });
});
