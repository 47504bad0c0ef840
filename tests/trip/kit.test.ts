import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { fold } from '../../src/trip/fold.ts';
import { bagKgOf, type Heat, litresFor, needsOf, type Outing } from '../../src/trip/kit.ts';
import type { TripState } from '../../src/trip/state.ts';
import { shortFor, waterOf } from '../../src/trip/water.ts';
import { evenly } from '../helpers/even.ts';
import { events, pitchOf, setUp } from './build.ts';

const HOUR_MS = 3_600_000;
const out = (people: number, days: number, heat: Heat): Outing => ({
  people,
  days,
  nights: days - 1,
  heat,
});

/** A trip of so many climbers and nights, on pitches of the given aid grade. */
function trip(people: number, nights: number, aid?: string): TripState {
  const pitches = Array.from({ length: 8 }, (_, i) =>
    pitchOf(i + 1, aid === undefined ? {} : { aid }),
  );
  const posts = [
    ...setUp({ pitches, climbers: ['mara', 'jonas', 'ines', 'pal'].slice(0, people) }),
    { kind: 'trip.edited', data: { settings: { haulBag: true } } },
    ...Array.from({ length: nights }, (_, i) => ({ kind: 'bivy.planned', data: { pitch: i + 1 } })),
  ];
  return fold('t', events(posts));
}

describe('water and weights by published figures', () => {
  it('3 people for 4 days at 4 l are 48 l (alpinesavvy.com, big wall water tips; 1 l weighs 1 kg)', () => {
    expect(litresFor(out(3, 4, 'hot'))).toBe(48);
  });

  it('a person drinks 3 to 4 l a day on a wall, about a US gallon in hot canyons (US National Park Service)', () => {
    expect(litresFor(out(1, 1, 'cold'))).toBe(3);
    expect(litresFor(out(1, 1, 'mild'))).toBeLessThan(4);
    expect(Math.abs(litresFor(out(1, 1, 'hot')) - 3.785)).toBeLessThan(0.25);
  });

  it('food is 1.5 to 2.5 lb a person and day (outdoors.nordling.de)', () => {
    const food = needsOf(trip(2, 1)).find((n) => n.name === 'Food')?.amount ?? 0;
    expect(food / 4).toBeGreaterThanOrEqual(1.5 * 0.4536);
    expect(food / 4).toBeLessThanOrEqual(2.5 * 0.4536);
  });

  it('the bag of two for three days weighs 30 kg and more (trip report, Mt Buffalo, mont.com.au)', () => {
    const kg = bagKgOf(trip(2, 2));
    expect(kg).toBeGreaterThan(30);
    expect(kg).toBeLessThan(55);
  });
});

describe('the list follows the topo', () => {
  const names = (state: TripState) => needsOf(state).map((n) => n.name);

  it('aid asks for aiders and ascenders, hard aid for hooks, hammered aid for pitons (common practice, no source)', () => {
    expect(names(trip(2, 0))).not.toContain('Aiders, pairs');
    expect(names(trip(2, 0, 'A1'))).toEqual(
      expect.arrayContaining(['Aiders, pairs', 'Ascenders, pairs']),
    );
    expect(names(trip(2, 0, 'C3'))).toContain('Hooks');
    expect(names(trip(2, 0, 'C3'))).not.toContain('Pitons');
    expect(names(trip(2, 0, 'A3'))).toContain('Pitons');
  });

  it('a night asks for shelter and a stove, down to the spoon', () => {
    expect(names(trip(2, 0))).not.toContain('Spoons');
    expect(names(trip(2, 1))).toEqual(
      expect.arrayContaining(['Sleeping bags', 'Spoons', 'Stove, hanging']),
    );
  });

  it('nothing is listed twice', () => {
    const all = names(trip(4, 3, 'A4'));
    expect(new Set(all).size).toBe(all.length);
  });
});

describe('water left', () => {
  const withWater = (amount: number, departedAtMs?: number): TripState => {
    const state = trip(3, 1);
    const kit = new Map([['water', { name: 'Water', amount, packed: true, off: false, atMs: 0 }]]);
    return { ...state, kit, ...(departedAtMs === undefined ? {} : { departedAtMs }) };
  };

  it('is not known where nobody told what was packed', () => {
    expect(waterOf(trip(3, 1), 0)).toEqual({ needed: 21, aDay: 10.5 });
    expect(shortFor(waterOf(trip(3, 1), 0), 1)).toBeUndefined();
  });

  it('by hand: 3 at 3.5 l, 21 l packed: half of it after a day; one more day is 10.5 l short', () => {
    const water = waterOf(withWater(21, 0), 24 * HOUR_MS);
    expect(water.left).toBeCloseTo(10.5, 6);
    expect(water.untilMs).toBeCloseTo(48 * HOUR_MS, -3);
    expect(shortFor(water, 0)).toBe(0);
    expect(shortFor(water, 1)).toBeCloseTo(10.5, 6);
  });

  it('more water never shortens, a later hour never adds', () => {
    const litres = evenly(0, 40);
    fc.assert(
      fc.property(litres, litres, fc.nat(48), fc.nat(50), (amount, more, hours, later) => {
        const at = (a: number, h: number) => waterOf(withWater(a, 0), h * HOUR_MS);
        const [less, full] = [at(amount, hours), at(amount + more, hours)];
        expect(full.left ?? 0).toBeGreaterThanOrEqual(less.left ?? 0);
        expect(full.untilMs ?? 0).toBeGreaterThanOrEqual(less.untilMs ?? 0);
        expect(shortFor(full, 1) ?? 0).toBeLessThanOrEqual(shortFor(less, 1) ?? 0);
        expect(at(amount, hours + later).left ?? 0).toBeLessThanOrEqual(less.left ?? 0);
      }),
      { numRuns: 500 },
    );
  });
});
