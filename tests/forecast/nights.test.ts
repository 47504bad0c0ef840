import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { compile } from '../../src/forecast/compile.ts';
import type { ForecastInput, ForecastPitch } from '../../src/forecast/model.ts';
import { canSleep, latestReady, type NightRules, setOff } from '../../src/forecast/nights.ts';
import { at, days, route, trip } from './fixture.ts';

/** Eight free pitches of about 45 min; a ledge for two after 2 and a portaledge after 6. */
function pitches(): ForecastPitch[] {
  return route(8, 99).map((p): ForecastPitch => {
    const bivy =
      p.number === 2
        ? ({ kind: 'ledge', places: 2 } as const)
        : p.number === 6
          ? ({ kind: 'portaledge' } as const)
          : ({ kind: 'none' } as const);
    return { ...p, bivy, expectedMin: 60 };
  });
}

function rules(over: Partial<ForecastInput> = {}): NightRules {
  return compile(trip({ nowMs: at(0, 0), pitches: pitches(), days: days(3), ...over })).rules;
}

/** Minutes since midnight of the first day. */
const min = (hour: number, day = 0): number => day * 1440 + hour * 60;

describe('setting off from a stance', () => {
  it('waits for the planned start, and goes on within the day', () => {
    expect(setOff(rules(), 0, min(6), 1)).toBe(min(7));
    expect(setOff(rules(), 3, min(12), 1)).toBe(min(12));
  });

  it('stays at the last good ledge when the next is out of reach', () => {
    // From 2, the last lead before the bivy after 6 is pitch 6: three pitches, three hours, first.
    expect(setOff(rules(), 2, min(16.9), 1)).toBe(min(16.9));
    expect(setOff(rules(), 2, min(17.1), 1)).toBe(min(7, 1));
    // A party at half the pace needs twice as long, but gives up four hours of day at most.
    expect(setOff(rules(), 2, min(15.9), 2)).toBe(min(15.9));
    expect(setOff(rules(), 2, min(16.1), 2)).toBe(min(7, 1));
  });

  it('climbs on in the dark when a bed is near, and sits the night out when it is far', () => {
    // After 5 one pitch is left to the portaledge: 96 min in the dark.
    expect(setOff(rules(), 5, min(21), 1)).toBe(min(21));
    // After 3 there are three: 288 min, more than 180.
    expect(setOff(rules(), 3, min(21), 1)).toBe(min(7, 1));
    expect(setOff(rules({ settings: { pushMaxMin: 300 } }), 3, min(21), 1)).toBe(min(21));
  });

  it('begins nothing new after the stop at a place to sleep', () => {
    expect(setOff(rules(), 6, min(18.9), 1)).toBe(min(18.9));
    expect(setOff(rules(), 6, min(20.1), 1)).toBe(min(7, 1));
  });

  it('sleeps where it planned to, if it gets there late in the day', () => {
    const planned = rules({ bivyPlan: [6] });
    expect(setOff(planned, 6, min(15.5), 1)).toBe(min(15.5));
    expect(setOff(planned, 6, min(16.5), 1)).toBe(min(7, 1));
  });

  it('takes an early start for the start of the day', () => {
    const early = pitches().map((p) =>
      p.number === 3 ? { ...p, actual: { startedAtMs: at(1, 5, 30) } } : p,
    );
    expect(setOff(rules({ pitches: early }), 3, min(6, 1), 1)).toBe(min(6, 1));
    expect(setOff(rules(), 3, min(6, 1), 1)).toBe(min(7, 1));
  });

  it('says so when the days run out', () => {
    expect(setOff(rules(), 6, min(21, 2), 1)).toBe(Number.POSITIVE_INFINITY);
  });

  it('keeps the order of times, and is turned round by the latest moment to be ready', () => {
    const stance = fc.integer({ min: 0, max: 7 });
    const time = fc.double({ min: 0, max: min(23, 2), noNaN: true });
    const pace = fc.double({ min: 0.3, max: 4, noNaN: true });
    fc.assert(
      fc.property(stance, time, time, pace, fc.boolean(), (k, a, b, scale, plan) => {
        const r = plan ? rules({ bivyPlan: [2, 6] }) : rules();
        const [early, late] = [Math.min(a, b), Math.max(a, b)];
        expect(setOff(r, k, early, scale)).toBeLessThanOrEqual(setOff(r, k, late, scale));
        expect(setOff(r, k, a, scale)).toBeLessThanOrEqual(setOff(r, k, a, scale * 1.2));
        // In time for b exactly if ready by the latest moment for b.
        expect(setOff(r, k, a, scale) <= b).toBe(a <= latestReady(r, k, b, scale));
      }),
      { numRuns: 400 },
    );
  });
});

describe('a place to sleep', () => {
  const pitch = pitches()[0] as ForecastPitch;
  it.each([
    [{ kind: 'none' }, 2, false],
    [{ kind: 'ledge', places: 2 }, 2, true],
    [{ kind: 'ledge', places: 2 }, 3, false],
    [{ kind: 'ledge' }, 4, true],
    [{ kind: 'portaledge' }, 4, true],
  ] as const)('%o for %d: %s', (bivy, partySize, yes) => {
    expect(canSleep({ ...pitch, bivy }, partySize)).toBe(yes);
  });
});
