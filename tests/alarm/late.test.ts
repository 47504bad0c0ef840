import { describe, expect, it } from 'vitest';
import { deadlinesOf } from '../../src/alarm/deadlines.ts';
import { unmet } from '../../src/alarm/expectations.ts';
import { asksNow, type Projected } from '../../src/alarm/late.ts';
import { DAWN_MS, departed, HOUR, MINUTE } from './trip.ts';

const DOWN = DAWN_MS + 16 * HOUR;
const CALLOUT = DAWN_MS + 20 * HOUR;
const open = unmet(departed().state);
const at = (middleMs: number, cautiousMs = middleMs): Projected => ({
  down: { middleMs, cautiousMs },
});

describe('asking early', () => {
  it('leaves a party alone that is on time', () => {
    expect(asksNow(open, at(DOWN - HOUR, DOWN), DAWN_MS)).toEqual([]);
    expect(asksNow(open, at(DOWN + 10 * MINUTE), DAWN_MS)).toEqual([]);
    expect(asksNow(open, undefined, DAWN_MS)).toEqual([]);
  });

  it('asks about the way down when the middle of the forecast is late, with a time that holds', () => {
    const [ask] = asksNow(open, at(DOWN + 40 * MINUTE, DOWN + 95 * MINUTE), DAWN_MS);
    expect(ask).toMatchObject({ what: 'down', agreedMs: DOWN, projectedMs: DOWN + 40 * MINUTE });
    expect(ask?.proposeMs).toBe(DOWN + 105 * MINUTE);
  });

  it('asks about the call-out time already when one ascent in ten is late, and leaves two hours of grace', () => {
    const asks = asksNow(open, at(DOWN - HOUR, CALLOUT + 30 * MINUTE), DAWN_MS);
    expect(asks).toMatchObject([{ what: 'callout', why: 'cautious-late' }]);
    expect(asks[0]?.proposeMs).toBeGreaterThan(CALLOUT + 30 * MINUTE + 2 * HOUR);
    expect(asks[0]?.proposeMs).toBeLessThanOrEqual(CALLOUT + 45 * MINUTE + 2 * HOUR);
  });

  it('asks about the call-out time an hour before when there is no forecast', () => {
    expect(asksNow(open, undefined, CALLOUT - 61 * MINUTE)).toEqual([]);
    expect(asksNow(open, undefined, CALLOUT - 60 * MINUTE)).toMatchObject([{ why: 'near' }]);
  });

  it('does not ask about a time that has passed: that is the watch’s', () => {
    expect(asksNow(open, at(DOWN + 3 * HOUR), DOWN).map((a) => a.what)).not.toContain('down');
  });

  it('copes with an ascent that finds no end', () => {
    const [ask] = asksNow(open, at(Number.POSITIVE_INFINITY), DAWN_MS);
    expect(ask?.projectedMs).toBeUndefined();
    expect(Number.isFinite(ask?.proposeMs)).toBe(true);
  });

  it('looks after every word from the wall, and not at a time set within its last hour', () => {
    const keys = deadlinesOf(departed().state, DAWN_MS).map((d) => d.key);
    expect(keys).toContain('ask:down');
    expect(keys.some((k) => k.startsWith('ask:sign:'))).toBe(true);
    const soon = departed().tell({
      kind: 'watch.planned',
      data: { downMs: DAWN_MS + 2 * HOUR },
      told: DAWN_MS + 1.5 * HOUR,
    });
    expect(deadlinesOf(soon.state, DAWN_MS + 1.5 * HOUR).map((d) => d.key)).not.toContain(
      'ask:down',
    );
  });
});
