import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { bedAt, canSleep } from '../../src/forecast/beds.ts';
import { compile } from '../../src/forecast/compile.ts';
import type { ForecastInput, ForecastPitch } from '../../src/forecast/model.ts';
import { dayOf, latestReady, type NightRules, setOff } from '../../src/forecast/nights.ts';
import { evenly } from '../helpers/even.ts';
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

/** Nights meant after those pitches, with the work of a portaledge after 6 and of a ledge elsewhere. */
function nightsAfter(...pitches: number[]): Partial<ForecastInput> {
  const work = (pitch: number): number => (pitch === 6 ? 105 : 60);
  const nights = pitches.map((pitch, day) => ({
    pitch,
    day,
    eveningMin: work(pitch),
    morningMin: work(pitch),
  }));
  return { plan: { nights } };
}

/** Minutes since midnight of the first day. */
const min = (hour: number, day = 0): number => day * 1440 + hour * 60;

describe('setting off from a stance', () => {
  it('waits for the planned start, and goes on within the day', () => {
    expect(setOff(rules(), 0, min(6), 1)).toBe(min(7));
    expect(setOff(rules(), 3, min(12), 1)).toBe(min(12));
  });

  it('stays at the last good ledge when the next is out of reach', () => {
    // From 2 it is four pitches, four hours, to the bivy after 6.
    expect(setOff(rules(), 2, min(15.9), 1)).toBe(min(15.9));
    expect(setOff(rules(), 2, min(16.1), 1)).toBe(min(7, 1));
    expect(setOff(rules(), 2, min(17.9), 0.5)).toBe(min(17.9));
    // A party at half the pace needs twice as long, but gives up four hours of day at most.
    expect(setOff(rules(), 2, min(15.9), 2)).toBe(min(15.9));
  });

  it('climbs on in the dark when a bed is near, and sits the night out when it is far', () => {
    // After 5 one pitch is left to the portaledge: 96 min in the dark.
    expect(setOff(rules(), 5, min(21), 1)).toBe(min(21));
    // After 3 there are three: 288 min, more than 180.
    expect(setOff(rules(), 3, min(21), 1)).toBe(min(7, 1));
    expect(setOff(rules({ settings: { pushMaxMin: 300 } }), 3, min(21), 1)).toBe(min(21));
  });

  it('begins nothing new after the stop at a place to sleep', () => {
    expect(setOff(rules(), 6, min(17.9), 1)).toBe(min(17.9));
    // Two pitches are left; on top by 20:00 is no longer likely.
    expect(setOff(rules(), 6, min(18.1), 1)).toBe(min(7, 1));
    expect(setOff(rules(), 6, min(20.1), 0.01)).toBe(min(7, 1));
  });

  it('has no bed on a portaledge that nobody carries', () => {
    expect(setOff(rules({ portaledgePlaces: 2 }), 6, min(19), 1)).toBe(min(7, 1));
    // Two pitches in the dark are more than three hours: it goes on until the stop, and then sits the night out.
    const none = rules({ portaledgePlaces: 0, settings: { darkFactor: 1.6 } });
    expect(setOff(none, 6, min(19.9), 1)).toBe(min(19.9));
    expect(setOff(none, 6, min(20.1), 1)).toBe(min(7, 1));
  });

  it('sleeps where it planned to, however early it gets there', () => {
    const planned = rules(nightsAfter(4, 6));
    expect(setOff(planned, 6, min(8), 1)).toBe(min(7, 1));
    expect(setOff(planned, 6, min(16.5), 1)).toBe(min(7, 1));
    expect(setOff(planned, 6, min(8, 1), 1)).toBe(min(7, 2));
    // Without a bed, too: it was meant so.
    expect(setOff(planned, 4, min(7.5), 0.1)).toBe(min(7, 1));
    expect(planned.bed[4]).toBe(0);
  });

  it('doesn’t sleep again at a ledge planned for the evening before', () => {
    const planned = rules(nightsAfter(4, 6));
    // The night after 4 ends the first day: who comes on the second has slept lower down.
    expect(setOff(planned, 4, min(12, 1), 1)).toBe(min(12, 1));
    expect(setOff(planned, 4, min(7.5, 1), 1, 30)).toBe(min(7.5, 1));
    expect(setOff(planned, 6, min(12, 2), 1)).toBe(min(12, 2));
  });

  it('works in the evening, rests, and works in the morning before the first move', () => {
    // On the portaledge after 6: 1 h 45, 6 h and 1 h 45. Common practice, no source.
    expect(setOff(rules(nightsAfter(6)), 6, min(23.5), 1, 180)).toBe(min(9, 1));
    expect(setOff(rules(), 6, min(22.5), 1)).toBe(min(8, 1));
    // An hour's pitch begun at the day's start would be up at eight: nobody who came in the night is later.
    expect(setOff(rules(), 6, min(23.5), 1)).toBe(min(8, 1));
    expect(setOff(rules(), 6, min(23.5), 1, 180)).toBe(min(9, 1));
    // On the ledge after 2 an hour each; the night out takes a quarter.
    expect(setOff(rules(), 2, min(0, 1), 1, 240)).toBe(min(8, 1));
    expect(setOff(rules({ settings: { pushMaxMin: 0 } }), 4, min(1, 1), 1, 240)).toBe(min(7.5, 1));
    expect(setOff(rules({ settings: { leastRestMin: 480 } }), 2, min(0, 1), 1, 240)).toBe(
      min(10, 1),
    );
  });

  it('rests before the next day when rest leaves no hours of this one', () => {
    // Up at four in the morning, on at one in the afternoon; by half past two it is too late for four hours.
    const tired = rules(nightsAfter(2));
    expect(setOff(tired, 2, min(4, 1), 1, 600)).toBe(min(12, 1));
    expect(setOff(tired, 2, min(6.9, 1), 1, 600)).toBe(min(14.9, 1));
    // An hour's pitch begun at the day's start would be up at eight.
    expect(setOff(tired, 2, min(6.9, 1), 1)).toBe(min(8, 1));
    const slow = rules({ ...nightsAfter(2), settings: { stopEarlyMaxMin: 360 } });
    expect(setOff(slow, 2, min(6.9, 1), 2, 600)).toBe(min(7, 2));
  });

  it('takes an early start for the start of the day', () => {
    const early = pitches().map((p) =>
      p.number === 3 ? { ...p, actual: { startedAtMs: at(1, 5, 30) } } : p,
    );
    expect(setOff(rules({ pitches: early }), 3, min(6, 1), 1, 30)).toBe(min(6, 1));
    expect(setOff(rules(), 3, min(6, 1), 1, 0)).toBe(min(7, 1));
  });

  it('says so when the days run out', () => {
    expect(setOff(rules(), 6, min(21, 2), 1)).toBe(Number.POSITIVE_INFINITY);
  });

  it('keeps the order of times, and is turned round by the latest moment to be ready', () => {
    const stance = fc.integer({ min: 0, max: 7 });
    const time = evenly(0, min(23, 2));
    const pace = fc.double({ min: 0.3, max: 4, noNaN: true });
    const all = [
      rules(),
      rules(nightsAfter(2, 6)),
      rules({ ...nightsAfter(4), portaledgePlaces: 0 }),
      rules({ settings: { pushMaxMin: 0, leastRestMin: 720, ledgeEveningMin: 240 } }),
      rules({ days: days(3).map((d, i) => ({ ...d, startMs: d.startMs + i * 90 * 60_000 })) }),
    ];
    const work = fc.integer({ min: 0, max: 1800 });
    fc.assert(
      fc.property(
        stance,
        time,
        time,
        pace,
        fc.constantFrom(...all),
        work,
        (k, a, b, scale, r, w) => {
          const last = k === 0 ? 0 : w;
          const off = (atMin: number, by = scale): number => setOff(r, k, atMin, by, last);
          const [early, late] = [Math.min(a, b), Math.max(a, b)];
          expect(off(early)).toBeLessThanOrEqual(off(late));
          expect(off(a)).toBeLessThanOrEqual(off(a, scale * 1.2));
          // In time for b exactly if ready by the latest moment for b.
          expect(off(a) <= b).toBe(a <= latestReady(r, k, b, scale, last));
        },
      ),
      { numRuns: 3000 },
    );
  });

  it('never moves before the day’s start, nor before evening, rest and morning of a planned night', () => {
    const time = evenly(0, min(23, 1));
    const r = rules(nightsAfter(2, 6));
    fc.assert(
      fc.property(fc.constantFrom(2, 6), time, (k, arrival) => {
        // Hours of climbing lie behind: nobody who slept lower down comes by sooner.
        const move = setOff(r, k, arrival, 1, 900);
        if (dayOf(r.startMin, arrival) > (r.nightDay[k] as number)) return;
        expect(move).toBeGreaterThanOrEqual(arrival + (r.restMin[k] as number));
        expect(move).toBeGreaterThanOrEqual(Math.ceil((arrival - min(7)) / 1440) * 1440 + min(7));
      }),
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
    expect(canSleep({ ...pitch, bivy }, { partySize })).toBe(yes);
  });

  it.each([
    [0, 2, undefined],
    [2, 2, 'portaledge'],
    [2, 3, undefined],
    [4, 3, 'portaledge'],
  ] as const)('on portaledges with %d places for %d: %s', (portaledgePlaces, partySize, bed) => {
    expect(bedAt({ bivy: { kind: 'portaledge' } }, { partySize, portaledgePlaces })).toBe(bed);
    expect(bedAt({ bivy: { kind: 'ledge' } }, { partySize, portaledgePlaces })).toBe('ledge');
  });
});
