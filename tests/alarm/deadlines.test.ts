/** When the watch looks at a trip again. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { aheadDeadlines } from '../../src/alarm/ahead.ts';
import { deadlinesOf } from '../../src/alarm/deadlines.ts';
import { repeatsOf } from '../../src/alarm/repeats.ts';
import { DAWN_MS, departed, HOUR, MINUTE, opened, type Told } from './trip.ts';

const DOWN = DAWN_MS + 16 * HOUR;
const CALLOUT = DAWN_MS + 20 * HOUR;

const trouble = (at: number): Told => ({
  kind: 'trouble.reported',
  data: { who: ['ines'], condition: 'hurt', what: 'fell', how: 'self', wants: 'cope' },
  at,
});

describe('a party that isn’t watched', () => {
  it('has no deadline while nothing is the matter', () => {
    expect(deadlinesOf(opened().state, DAWN_MS)).toEqual([]);
  });

  it('is looked at again for trouble that was told before it left', () => {
    const { state } = opened().tell(trouble(DAWN_MS));
    const due = deadlinesOf(state, DAWN_MS + MINUTE).map((d) => d.dueAtMs);
    // Two hours without another word, and the look at what is to be told now.
    expect(due).toContain(DAWN_MS + 2 * HOUR);
    expect(due).toContain(DAWN_MS + MINUTE);
  });

  it('is asked after a call-out whether the rescue service knows: after 10, 30, 60, 120, 180 and 240 min', () => {
    const { state } = departed().tell(
      {
        kind: 'watch.raised',
        data: { phase: 'distress', root: 'callout', dueMs: CALLOUT, to: ['@field', 'dana'] },
        told: CALLOUT,
        by: 'tagline',
      },
      { kind: 'watch.called', data: {}, told: CALLOUT + 10 * MINUTE, by: 'Dana' },
      { kind: 'trip.down', at: CALLOUT + HOUR },
    );
    const asked = deadlinesOf(state, CALLOUT + HOUR).map((d) => (d.dueAtMs - CALLOUT) / MINUTE);
    expect(asked).toEqual([70, 90, 120, 180, 240, 300]);
  });
});

it('a reminder ahead of a promise is set until its time, and not from then on', () => {
  const { state } = departed();
  const all = aheadDeadlines(state).map((d) => d.dueAtMs);
  const [first = 0] = all;
  const set = (nowMs: number) =>
    deadlinesOf(state, nowMs).filter((d) => aheadDeadlines(state).some((a) => a.key === d.key));
  expect(all.length).toBeGreaterThan(0);
  expect(set(first - 1).map((d) => d.dueAtMs)).toEqual(all);
  expect(set(first).map((d) => d.dueAtMs)).toEqual(all.filter((ms) => ms > first));
  expect(set(DOWN + CALLOUT)).toEqual([]);
});

it('one reminder leads to the next until the last, however late each of them rings', () => {
  fc.assert(
    fc.property(
      fc.constantFrom('alert', 'distress'),
      fc.array(fc.integer({ min: 0, max: 300 }), { minLength: 1, maxLength: 20 }),
      (phase, lateMin) => {
        const { state } = departed().tell({
          kind: 'watch.raised',
          data: { phase, root: 'down', dueMs: DOWN, to: ['@field', 'dana'] },
          told: DOWN,
          by: 'tagline',
        });
        const [raised] = state.watch.raised;
        if (raised === undefined) throw new Error('nothing stands');
        const all = [...repeatsOf(raised)].map((r) => r.atMs);
        const set = (nowMs: number) =>
          deadlinesOf(state, nowMs).filter((d) => d.key.startsWith(`repeat:${raised.seq}:`));
        let nowMs = raised.atMs;
        for (let rings = 0; nowMs < (all.at(-1) ?? 0); rings++) {
          const next = set(nowMs).find((d) => d.dueAtMs > nowMs);
          // None that is still to come is left out.
          expect(next?.dueAtMs).toBe(all.find((ms) => ms > nowMs));
          nowMs = (next?.dueAtMs ?? nowMs) + (lateMin[rings % lateMin.length] ?? 0) * MINUTE;
          // What has not rung yet is still set when it is looked at late.
          expect(set(nowMs).some((d) => d.dueAtMs <= nowMs)).toBe(true);
        }
      },
    ),
    { numRuns: 12 },
  );
});
