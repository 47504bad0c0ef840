/** When the watch looks at a trip again. */
import { describe, expect, it } from 'vitest';
import { aheadDeadlines } from '../../src/alarm/ahead.ts';
import { deadlinesOf } from '../../src/alarm/deadlines.ts';
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
