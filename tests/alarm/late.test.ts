import { describe, expect, it } from 'vitest';
import { deadlinesOf } from '../../src/alarm/deadlines.ts';
import { unmet } from '../../src/alarm/expectations.ts';
import { askDeadlines, asksNow, type Projected } from '../../src/alarm/late.ts';
import { DAWN_MS, departed, HOUR, MINUTE, opened } from './trip.ts';

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

  it('asks about the top-out by the forecast of the top-out, and about nothing that was not agreed', () => {
    const both = unmet(
      departed().tell({ kind: 'watch.planned', data: { topoutMs: DAWN_MS + 10 * HOUR } }).state,
    );
    const late = { middleMs: DAWN_MS + 11 * HOUR, cautiousMs: DAWN_MS + 12 * HOUR };
    expect(asksNow(both, { topout: late }, DAWN_MS)).toEqual([
      {
        what: 'topout',
        agreedMs: DAWN_MS + 10 * HOUR,
        projectedMs: late.middleMs,
        proposeMs: DAWN_MS + 12.25 * HOUR,
        why: 'middle-late',
      },
    ]);
    expect(asksNow(open, { topout: late }, DAWN_MS)).toEqual([]);
    expect(asksNow(both, undefined, DAWN_MS + 9.5 * HOUR)).toEqual([]);
  });

  it('bears ten minutes: later than that is a question', () => {
    expect(asksNow(open, at(DOWN + 10 * MINUTE), DAWN_MS)).toEqual([]);
    expect(asksNow(open, at(DOWN + 10 * MINUTE + 1), DAWN_MS).map((a) => a.why)).toEqual([
      'middle-late',
    ]);
    const callout = (cautiousMs: number) => asksNow(open, at(DOWN, cautiousMs), DAWN_MS);
    expect(callout(CALLOUT + 10 * MINUTE)).toEqual([]);
    expect(callout(CALLOUT + 10 * MINUTE + 1)).toHaveLength(1);
  });

  it('proposes a quarter of an hour that lies after the cautious time, never that time itself', () => {
    const [ask] = asksNow(open, at(DOWN + 40 * MINUTE, DOWN + 45 * MINUTE), DAWN_MS);
    expect(ask?.proposeMs).toBe(DOWN + HOUR);
  });

  it('without a forecast proposes two hours more for the call-out time, up to its last minute', () => {
    expect(asksNow(open, undefined, CALLOUT - MINUTE)).toEqual([
      { what: 'callout', agreedMs: CALLOUT, proposeMs: CALLOUT + 2 * HOUR, why: 'near' },
    ]);
    expect(asksNow(open, undefined, CALLOUT)).toEqual([]);
  });

  it('without a forecast asks nothing about a call-out time that was never agreed', () => {
    const down = open.filter((e) => e.kind === 'down');
    expect(asksNow(down, undefined, DOWN - MINUTE)).toEqual([]);
  });

  it('with a forecast that holds, does not ask about the call-out time merely because it is near', () => {
    expect(asksNow(open, at(DOWN), CALLOUT - 30 * MINUTE)).toEqual([]);
  });

  it('copes with an ascent that finds no end', () => {
    const [ask] = asksNow(open, at(Number.POSITIVE_INFINITY), DAWN_MS);
    expect(ask?.projectedMs).toBeUndefined();
    expect(ask?.proposeMs).toBe(DOWN + 15 * MINUTE);
    const one = asksNow(open, at(DOWN + HOUR, Number.POSITIVE_INFINITY), DAWN_MS);
    expect(one.map((a) => [a.what, a.proposeMs])).toEqual([
      ['down', DOWN + 15 * MINUTE],
      ['callout', CALLOUT + 2 * HOUR + 15 * MINUTE],
    ]);
  });

  it('looks after every word from the wall, and not at a time set within its last hour', () => {
    const keys = deadlinesOf(departed().state, DAWN_MS).map((d) => d.key);
    expect(keys).toContain('ask:down');
    expect(keys.some((k) => k.startsWith('ask:sign:'))).toBe(true);
    // Once for every sign, at the moment it was told.
    const sign = departed().tell({
      kind: 'watch.ok',
      data: { how: 'radio' },
      at: DAWN_MS + HOUR,
      told: DAWN_MS + 2 * HOUR,
    });
    const asks = deadlinesOf(sign.state, DAWN_MS).filter((d) => d.key.startsWith('ask:'));
    expect(asks).toEqual([
      { key: 'ask:down', dueAtMs: DOWN - HOUR, data: null },
      { key: 'ask:callout', dueAtMs: CALLOUT - HOUR, data: null },
      { key: `ask:sign:${sign.state.seq}`, dueAtMs: DAWN_MS + 2 * HOUR, data: null },
    ]);
    const soon = departed().tell({
      kind: 'watch.planned',
      data: { downMs: DAWN_MS + 2 * HOUR },
      told: DAWN_MS + 1.5 * HOUR,
    });
    expect(deadlinesOf(soon.state, DAWN_MS + 1.5 * HOUR).map((d) => d.key)).not.toContain(
      'ask:down',
    );
    expect(askDeadlines(soon.state, unmet(soon.state)).map((d) => d.key)).toEqual([
      'ask:callout',
      expect.stringMatching(/^ask:sign:/),
    ]);
    const hourAhead = departed().tell({
      kind: 'watch.planned',
      data: { downMs: DAWN_MS + 2 * HOUR },
      told: DAWN_MS + HOUR,
    });
    expect(deadlinesOf(hourAhead.state, DAWN_MS + HOUR).map((d) => d.key)).toContain('ask:down');
  });

  it('looks at nothing when no time was agreed, whatever else is promised', () => {
    const story = opened().tell(
      { kind: 'trip.departed', at: DAWN_MS },
      { kind: 'watch.promised', data: { dueMs: DOWN } },
    );
    const keys = deadlinesOf(story.state, DAWN_MS).map((d) => d.key);
    expect(keys.filter((k) => k.startsWith('ask:'))).toEqual([]);
  });

  it('a promise beside agreed times gets no question of its own', () => {
    const story = departed().tell({ kind: 'watch.promised', data: { dueMs: DOWN } });
    const keys = deadlinesOf(story.state, DAWN_MS).map((d) => d.key);
    expect(keys.filter((k) => k.startsWith('ask:checkin'))).toEqual([]);
  });
});
