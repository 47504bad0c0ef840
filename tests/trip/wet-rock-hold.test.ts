import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  stricterThan,
  WET_ROCK_ADVICE,
  WET_ROCK_CAUTION,
} from '../../src/forecast/wet-rock/advice.ts';
import { HOLD_CHOICES_H, wetRockHold } from '../../src/trip/wet-rock-hold.ts';

const H = 3_600_000;
const at = (text: string) => Date.parse(`2031-06-${text}:00Z`);

describe('the wet-rock hold', () => {
  it('counts from the end of rain', () => {
    const rains = [{ fromMs: at('12T08:00'), toMs: at('12T14:30') }];
    expect(wetRockHold(rains, 24, at('12T18:00'))).toEqual({
      state: 'holding',
      rainEndedMs: at('12T14:30'),
      untilMs: at('13T14:30'),
    });
    expect(wetRockHold(rains, 24, at('13T14:29')).state).toBe('holding');
    expect(wetRockHold(rains, 24, at('13T14:30')).state).toBe('none');
    expect(wetRockHold(rains, 72, at('15T14:29')).state).toBe('holding');
  });

  it('has no end while it rains', () => {
    const open = [{ fromMs: at('10T08:00'), toMs: at('10T09:00') }, { fromMs: at('12T08:00') }];
    expect(wetRockHold(open, 24, at('20T08:00'))).toEqual({
      state: 'raining',
      sinceMs: at('12T08:00'),
    });
  });

  it('begins anew with every shower, and takes overlapping reports as one rain', () => {
    const rains = [
      { fromMs: at('12T08:00'), toMs: at('12T12:00') },
      { fromMs: at('12T10:00'), toMs: at('12T11:00') },
      { fromMs: at('13T06:00'), toMs: at('13T06:10') },
    ];
    expect(wetRockHold(rains, 24, at('13T05:00'))).toMatchObject({ untilMs: at('13T12:00') });
    expect(wetRockHold(rains, 24, at('13T07:00'))).toMatchObject({ untilMs: at('14T06:10') });
  });

  it('refuses hours and rain that make no sense', () => {
    expect(() => wetRockHold([], -1, 0)).toThrow(RangeError);
    expect(() => wetRockHold([], 200, 0)).toThrow(RangeError);
    expect(() => wetRockHold([{ fromMs: 2, toMs: 1 }], 24, 5)).toThrow(RangeError);
  });

  it('never ends sooner for more rain or more hours, and does not depend on the order told', () => {
    const rain = fc
      .tuple(fc.integer({ min: 0, max: 200 }), fc.integer({ min: 0, max: 20 }))
      .map(([from, length]) => ({ fromMs: from * H, toMs: (from + length) * H }));
    const rank = (hold: ReturnType<typeof wetRockHold>) =>
      hold.state === 'raining'
        ? Number.POSITIVE_INFINITY
        : hold.state === 'holding'
          ? hold.untilMs
          : 0;
    fc.assert(
      fc.property(
        fc.array(rain, { maxLength: 6 }),
        rain,
        fc.integer({ min: 0, max: 72 }),
        fc.integer({ min: 0, max: 72 }),
        fc.integer({ min: 0, max: 300 }),
        (rains, more, hours, moreHours, now) => {
          const base = rank(wetRockHold(rains, hours, now * H));
          expect(rank(wetRockHold([...rains, more], hours, now * H))).toBeGreaterThanOrEqual(base);
          expect(rank(wetRockHold(rains, hours + moreHours, now * H))).toBeGreaterThanOrEqual(base);
          expect(rank(wetRockHold([...rains].reverse(), hours, now * H))).toBe(base);
        },
      ),
    );
  });
});

describe('what is said with it', () => {
  it('covers every choice offered, each reading with its source, and never calls rock safe', () => {
    for (const hours of HOLD_CHOICES_H) {
      expect(WET_ROCK_ADVICE.some(({ fromH, toH }) => fromH <= hours && hours <= toH)).toBe(true);
    }
    for (const advice of WET_ROCK_ADVICE) {
      expect(advice.source).not.toBe('');
      expect(advice.text).not.toMatch(/\bsafe\b/i);
      expect(advice.fromH).toBeLessThanOrEqual(advice.toH);
    }
    expect(WET_ROCK_CAUTION).toMatch("land manager's rule holds");
    expect(stricterThan(72)).toEqual([]);
    expect(stricterThan(24).map((advice) => advice.toH)).toEqual([48, 72, 72]);
  });
});
