import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { DEFAULTS, resolveSettings } from '../../src/forecast/defaults.ts';
import { carriedOver, PARTY_EFFECT, priorOf } from '../../src/forecast/effects.ts';
import { forecast } from '../../src/forecast/forecast.ts';
import type { EarlierPace } from '../../src/forecast/model.ts';
import { trip } from './fixture.ts';

const settings = resolveSettings({});
const sd = fc.double({ min: 0.05, max: 1, noNaN: true });
const mean = fc.double({ min: -1.5, max: 1.5, noNaN: true });
const share = fc.double({ min: 0, max: 1, noNaN: true });

function earlier(party: { mean: number; sd: number }): EarlierPace {
  const none = { mean: 0, sd: 0.3 };
  return { party, aid: none, haul: none, changeover: none, leaders: [undefined, undefined] };
}

describe('what one climb says of the next', () => {
  it('is what two correlated normals give: mean and variance by hand', () => {
    // Prior N(0, 0.6²), learnt N(0.4, 0.1²), correlation 0.5: 0.5·0.4 and √(0.75·0.36 + 0.25·0.01).
    const next = carriedOver({ mean: 0, sd: 0.6 }, { mean: 0.4, sd: 0.1 }, 0.5);
    expect(next.mean).toBeCloseTo(0.2, 12);
    expect(next.sd).toBeCloseTo(Math.sqrt(0.2725), 12);
  });

  it('lies between the prior and what was learnt, and is never surer than either without a cause', () => {
    fc.assert(
      fc.property(mean, sd, mean, sd, share, (m0, s0, m1, s1, r) => {
        const next = carriedOver({ mean: m0, sd: s0 }, { mean: m1, sd: Math.min(s0, s1) }, r);
        expect(next.mean).toBeGreaterThanOrEqual(Math.min(m0, m1) - 1e-12);
        expect(next.mean).toBeLessThanOrEqual(Math.max(m0, m1) + 1e-12);
        expect(next.sd).toBeLessThanOrEqual(s0 + 1e-12);
        expect(next.sd).toBeGreaterThanOrEqual(Math.min(s0, s1) - 1e-12);
      }),
    );
  });
});

describe('the prior after an earlier trip', () => {
  it('is no surer than the spread between climbs of one party', () => {
    const prior = priorOf(trip({ earlier: earlier({ mean: 0.5, sd: 0 }), settings: {} }), settings);
    const tau = settings.priorParty;
    const alike = 1 - (settings.priorTrip / tau) ** 2;
    const spread = Math.sqrt(prior.covariance[PARTY_EFFECT]?.[PARTY_EFFECT] as number);
    expect(spread).toBeCloseTo(tau * Math.sqrt(1 - alike ** 2), 12);
    expect(spread).toBeGreaterThan(settings.priorTrip);
    expect(spread).toBeLessThan(tau);
  });

  it('teaches nothing where parties of a class differ less than the climbs of one', () => {
    const alike = { ...settings, holdsAverage: 1, priorClass: 0.1 };
    const input = trip({ earlier: { ...earlier({ mean: 0.9, sd: 0.1 }), class: 'average' } });
    expect(priorOf(input, alike).mean[PARTY_EFFECT]).toBeCloseTo(Math.log(settings.paceAverage));
  });

  it('teaches something whatever the party says of itself', () => {
    for (const party of ['efficient', 'average', 'first'] as const) {
      const mean = (m: number) => {
        const input = trip({ earlier: { ...earlier({ mean: m, sd: 0.1 }), class: party } });
        return priorOf(input, settings).mean[PARTY_EFFECT] as number;
      };
      expect(mean(0.5) - mean(-0.5), party).toBeGreaterThan(0.2);
    }
  });

  it('makes slow parties later, fast ones sooner', () => {
    const top = (m: number) =>
      forecast(trip({ ascents: 500, earlier: earlier({ mean: m, sd: 0.15 }) })).topout.q50;
    expect(top(-0.5)).toBeLessThan(top(0));
    expect(top(0)).toBeLessThan(top(0.5));
  });

  it('has its figures in the list, like all others', () => {
    const names = DEFAULTS.map((d) => d.name);
    expect(names).toContain('priorTrip');
    expect(names).toContain('carriedShare');
  });
});
