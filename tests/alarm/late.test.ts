import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { deadlinesOf } from '../../src/alarm/deadlines.ts';
import { unmet } from '../../src/alarm/expectations.ts';
import { askDeadlines, askNow, mayAsk, type Projected } from '../../src/alarm/late.ts';
import { DAWN_MS, departed, HOUR, MINUTE, opened } from './trip.ts';

const DOWN = DAWN_MS + 16 * HOUR;
const CALLOUT = DAWN_MS + 20 * HOUR;
const open = unmet(departed().state);
const at = (middleMs: number, cautiousMs = middleMs): Projected => ({
  down: { middleMs, cautiousMs },
});

describe('asking early', () => {
  it('leaves a party alone that is on time', () => {
    expect(askNow(open, at(DOWN - HOUR, DOWN), DAWN_MS)).toBeUndefined();
    expect(askNow(open, at(DOWN + 10 * MINUTE), DAWN_MS)).toBeUndefined();
    expect(askNow(open, undefined, DAWN_MS)).toBeUndefined();
  });

  it('asks about the way down when the middle of the forecast is late, with a time that holds', () => {
    const ask = askNow(open, at(DOWN + 40 * MINUTE, DOWN + 95 * MINUTE), DAWN_MS);
    expect(ask).toMatchObject({ what: 'down', agreedMs: DOWN, projectedMs: DOWN + 40 * MINUTE });
    expect(ask?.proposeMs).toBe(DOWN + 105 * MINUTE);
  });

  it('asks about the call-out time already when one ascent in ten is late, and leaves two hours of grace', () => {
    const ask = askNow(open, at(DOWN - HOUR, CALLOUT + 30 * MINUTE), DAWN_MS);
    expect(ask).toMatchObject({ what: 'callout', why: 'cautious-late' });
    expect(ask?.also).toBeUndefined();
    expect(ask?.proposeMs).toBeGreaterThan(CALLOUT + 30 * MINUTE + 2 * HOUR);
    expect(ask?.proposeMs).toBeLessThanOrEqual(CALLOUT + 45 * MINUTE + 2 * HOUR);
  });

  it('asks about the call-out time an hour before when there is no forecast', () => {
    expect(askNow(open, undefined, CALLOUT - 61 * MINUTE)).toBeUndefined();
    expect(askNow(open, undefined, CALLOUT - 60 * MINUTE)).toMatchObject({ why: 'near' });
  });

  it('does not ask about a time that has passed: that is the watch’s', () => {
    expect(askNow(open, at(DOWN + 3 * HOUR), DOWN)).toBeUndefined();
    const later = askNow(open, at(DOWN + 3 * HOUR, CALLOUT + HOUR), DOWN);
    expect([later?.what, later?.also]).toEqual(['callout', undefined]);
  });

  it('leaves a party alone that is at the foot by another way than over the top', () => {
    const told = DAWN_MS + 6 * HOUR;
    expect(mayAsk(departed().state, told)).toBe(true);
    const foot = { kind: 'descent.reached', data: { point: 'foot' }, told };
    expect(mayAsk(departed().tell(foot).state, told)).toBe(false);
    // Who comes down from the top may be late like anybody.
    const all = Array.from({ length: 8 }, (_, i) => ({
      ...{ kind: 'pitch.done', data: { pitch: i + 1 }, told: DAWN_MS + (i + 1) * MINUTE },
    }));
    expect(
      mayAsk(
        departed()
          .tell(...all)
          .tell(foot).state,
        told,
      ),
    ).toBe(true);
  });

  it.each([
    ['retreats', { kind: 'retreat.began', data: { pitch: 3 } }],
    ['waits', { kind: 'wait.began', data: { why: 'weather' } }],
    [
      'is in trouble',
      {
        kind: 'trouble.reported',
        data: { who: [], condition: 'hurt', what: 'a cut', how: 'self', wants: 'cope' },
      },
    ],
  ])('leaves a party alone that %s', (_, told) => {
    const now = DAWN_MS + 6 * HOUR;
    const done = { kind: 'pitch.done', data: { pitch: 3 }, told: now - HOUR };
    const story = departed().tell(done);
    expect(mayAsk(story.state, now)).toBe(true);
    expect(mayAsk(story.tell({ ...told, told: now }).state, now)).toBe(false);
  });

  it('names the cautious time of a call-out, and no middle that lies between two days', () => {
    const ask = (middleMs: number, cautiousMs: number, isOpen?: true) =>
      askNow(open, { down: { middleMs, cautiousMs, ...(isOpen && { isOpen }) } }, DAWN_MS);
    expect(ask(DOWN - HOUR, CALLOUT + HOUR)?.projectedMs).toBe(CALLOUT + HOUR);
    expect(ask(DOWN - HOUR, CALLOUT + HOUR, true)?.projectedMs).toBe(CALLOUT + HOUR);
    expect(ask(DOWN + HOUR, CALLOUT, true)).toMatchObject({ what: 'down', why: 'middle-late' });
    expect(ask(DOWN + HOUR, CALLOUT, true)).not.toHaveProperty('projectedMs');
    expect(ask(DOWN + HOUR, CALLOUT)?.projectedMs).toBe(DOWN + HOUR);
  });

  it('asks about the top-out by the forecast of the top-out, and about nothing that was not agreed', () => {
    const both = unmet(
      departed().tell({ kind: 'watch.planned', data: { topoutMs: DAWN_MS + 10 * HOUR } }).state,
    );
    const late = { middleMs: DAWN_MS + 11 * HOUR, cautiousMs: DAWN_MS + 12 * HOUR };
    expect(askNow(both, { topout: late }, DAWN_MS)).toEqual({
      what: 'topout',
      agreedMs: DAWN_MS + 10 * HOUR,
      projectedMs: late.middleMs,
      proposeMs: DAWN_MS + 12.25 * HOUR,
      why: 'middle-late',
    });
    expect(askNow(open, { topout: late }, DAWN_MS)).toBeUndefined();
    expect(askNow(both, undefined, DAWN_MS + 9.5 * HOUR)).toBeUndefined();
  });

  it('bears ten minutes: later than that is a question', () => {
    expect(askNow(open, at(DOWN + 10 * MINUTE), DAWN_MS)).toBeUndefined();
    expect(askNow(open, at(DOWN + 10 * MINUTE + 1), DAWN_MS)?.why).toBe('middle-late');
    const callout = (cautiousMs: number) => askNow(open, at(DOWN, cautiousMs), DAWN_MS);
    expect(callout(CALLOUT + 10 * MINUTE)).toBeUndefined();
    expect(callout(CALLOUT + 10 * MINUTE + 1)?.what).toBe('callout');
  });

  it('proposes a quarter of an hour that lies after the cautious time, never that time itself', () => {
    const ask = askNow(open, at(DOWN + 40 * MINUTE, DOWN + 45 * MINUTE), DAWN_MS);
    expect(ask?.proposeMs).toBe(DOWN + HOUR);
  });

  it('without a forecast proposes two hours more for the call-out time, up to its last minute', () => {
    expect(askNow(open, undefined, CALLOUT - MINUTE)).toEqual({
      what: 'callout',
      agreedMs: CALLOUT,
      proposeMs: CALLOUT + 2 * HOUR,
      why: 'near',
    });
    expect(askNow(open, undefined, CALLOUT)).toBeUndefined();
  });

  it('without a forecast asks nothing about a call-out time that was never agreed', () => {
    const down = open.filter((e) => e.kind === 'down');
    expect(askNow(down, undefined, DOWN - MINUTE)).toBeUndefined();
  });

  it('with a forecast that holds, does not ask about the call-out time merely because it is near', () => {
    expect(askNow(open, at(DOWN), CALLOUT - 30 * MINUTE)).toBeUndefined();
  });

  it('copes with an ascent that finds no end', () => {
    const ask = askNow(open, at(Number.POSITIVE_INFINITY), DAWN_MS);
    expect(ask?.projectedMs).toBeUndefined();
    expect(ask?.proposeMs).toBe(DOWN + 15 * MINUTE);
    const one = askNow(open, at(DOWN + HOUR, Number.POSITIVE_INFINITY), DAWN_MS);
    expect([one, ...(one?.also ?? [])].map((a) => [a?.what, a?.proposeMs])).toEqual([
      ['down', DOWN + 15 * MINUTE],
      ['callout', CALLOUT + 2 * HOUR + 15 * MINUTE],
    ]);
  });

  it('takes a later time along that would come before it, as long after it as was agreed', () => {
    const ask = askNow(open, at(CALLOUT - HOUR, CALLOUT + 5 * MINUTE), DAWN_MS);
    expect(ask).toMatchObject({ what: 'down', proposeMs: CALLOUT + 15 * MINUTE });
    expect(ask?.also).toEqual([
      { what: 'callout', agreedMs: CALLOUT, proposeMs: CALLOUT + 15 * MINUTE + (CALLOUT - DOWN) },
    ]);
  });

  it('whatever was agreed and is forecast, what is offered is in order and later than agreed', () => {
    const hours = fc.integer({ min: 1, max: 60 * 60 }).map((m) => m * MINUTE);
    const forecast = fc.tuple(hours, hours, fc.boolean()).map(([middle, more, ends]) => ({
      middleMs: DAWN_MS + middle,
      cautiousMs: ends ? DAWN_MS + middle + more : Number.POSITIVE_INFINITY,
    }));
    fc.assert(
      fc.property(
        fc.uniqueArray(hours, { minLength: 3, maxLength: 3 }),
        fc.subarray(['topout', 'down', 'callout'] as const, { minLength: 1 }),
        fc.option(fc.record({ topout: forecast, down: forecast }), { nil: undefined }),
        hours,
        (times, set, projected, now) => {
          const [first = 0, second = 0, third = 0] = times.sort((a, b) => a - b);
          const plan = { topout: first, down: second, callout: third };
          const agreed = set.map((kind) => ({ kind, key: kind, dueMs: DAWN_MS + plan[kind] }));
          const ask = askNow(agreed, projected, DAWN_MS + now);
          if (ask === undefined) return;
          const moved = new Map([ask, ...(ask.also ?? [])].map((t) => [t.what, t]));
          const after = agreed.map(({ kind, dueMs }) => moved.get(kind)?.proposeMs ?? dueMs);
          expect(after).toEqual([...new Set(after)].sort((a, b) => a - b));
          for (const t of moved.values()) expect(t.proposeMs).toBeGreaterThan(t.agreedMs);
        },
      ),
      { numRuns: 2000 },
    );
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
