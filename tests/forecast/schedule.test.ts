import { describe, expect, it } from 'vitest';
import { forecast } from '../../src/forecast/forecast.ts';
import { latestTimes } from '../../src/forecast/latest.ts';
import {
  assess,
  freezePlan,
  type PlannedCheckpoint,
  type Progress,
  progressOf,
  type Standing,
} from '../../src/forecast/schedule.ts';
import { at, MIN_MS, route, trip } from './fixture.ts';

/** A checkpoint an hour from 08:00; from 3 on there is a latest time an hour and a half after. */
const plan: PlannedCheckpoint[] = [1, 2, 3, 4, 5].map((pitch) => ({
  pitch,
  plannedMs: at(0, 7 + pitch),
  ...(pitch >= 3 ? { latestMs: at(0, 8 + pitch, 30) } : {}),
}));

function standing(over: {
  now: number;
  actual?: [number, number][];
  projected?: [number, number][];
}): Standing {
  const progress: Progress = {
    nowMs: over.now,
    actual: new Map(over.actual ?? []),
    projected: new Map(over.projected ?? []),
    toleranceMin: 10,
  };
  return assess(plan, progress);
}

describe('ahead, on schedule or behind', () => {
  it('goes by the last checkpoint done', () => {
    const at2 = (minute: number) =>
      standing({ now: at(0, 9, 30), actual: [[2, at(0, 9, minute)]] });
    expect(at2(9)).toMatchObject({ word: 'on schedule', lateMin: 9, lastPitch: 2 });
    expect(at2(25)).toMatchObject({ word: 'behind', lateMin: 25, reason: 'last checkpoint' });
    const early = standing({ now: at(0, 9), actual: [[2, at(0, 8, 40)]] });
    expect(early).toMatchObject({ word: 'ahead', lateMin: -20 });
  });

  it('counts silence past a planned checkpoint', () => {
    const quiet = standing({ now: at(0, 10, 40), actual: [[2, at(0, 9)]] });
    expect(quiet).toMatchObject({ word: 'behind', reason: 'silence', lateMin: 40, lastPitch: 2 });
    // Being quick before doesn't excuse it; a few minutes are within tolerance.
    const wasAhead = standing({ now: at(0, 10, 40), actual: [[2, at(0, 8, 30)]] });
    expect(wasAhead).toMatchObject({ word: 'behind', reason: 'silence', lateMin: 40 });
    expect(standing({ now: at(0, 10, 5), actual: [[2, at(0, 9)]] }).word).toBe('on schedule');
    // Silence shorter than the delay already known adds nothing.
    const late = standing({ now: at(0, 10, 5), actual: [[2, at(0, 9, 50)]] });
    expect(late).toMatchObject({ lateMin: 50, reason: 'last checkpoint' });
  });

  it('counts it from the first checkpoint, before anything was posted', () => {
    expect(standing({ now: at(0, 7) })).toMatchObject({
      word: 'on schedule',
      reason: 'nothing done yet',
      lastPitch: 0,
      lateMin: 0,
    });
    expect(standing({ now: at(0, 8, 45) })).toMatchObject({ word: 'behind', reason: 'silence' });
  });

  it('is judged a second time by the latest time of the next checkpoint that has one', () => {
    const s = standing({
      now: at(0, 9, 10),
      actual: [[2, at(0, 9)]],
      projected: [[3, at(0, 10, 20)]],
    });
    expect(s.next).toEqual({ pitch: 3, latestMs: at(0, 11, 30), leftMin: 140, marginMin: 70 });
    const lost = standing({
      now: at(0, 9, 10),
      actual: [[2, at(0, 9)]],
      projected: [[3, at(0, 11, 45)]],
    });
    expect(lost).toMatchObject({ word: 'behind', reason: 'latest time', lateMin: 0 });
    expect(lost.next?.marginMin).toBe(-15);
  });

  it('shows each checkpoint beside the plan, skipped ones too', () => {
    const s = standing({
      now: at(0, 11),
      actual: [[3, at(0, 10, 30)]],
      projected: [[4, at(0, 11, 40)]],
    });
    expect(s.checkpoints[0]).toEqual(plan[0]);
    expect(s.checkpoints[2]).toMatchObject({ actualMs: at(0, 10, 30), lateMin: 30, marginMin: 60 });
    expect(s.checkpoints[3]).toMatchObject({
      projectedMs: at(0, 11, 40),
      lateMin: 40,
      marginMin: 50,
    });
  });

  it('has nothing more to judge at the top', () => {
    const s = standing({ now: at(0, 18), actual: [[5, at(0, 12, 5)]] });
    expect(s).toMatchObject({ word: 'on schedule', lateMin: 5, lastPitch: 5 });
    expect(s.next).toBeUndefined();
  });
});

describe('a frozen plan', () => {
  const cutoff = {
    id: 'top',
    kind: 'own',
    label: 'top',
    atMs: at(2, 18),
    target: 'topout',
  } as const;
  const input = trip({ ascents: 300, cutoffs: [cutoff] });
  const frozen = freezePlan(forecast(input), latestTimes(input));

  it('holds medians and latest times, and is met by a party that climbs to it', () => {
    expect(frozen.map((c) => c.pitch)).toEqual(route(10).map((p) => p.number));
    expect(frozen.every((c) => c.latestMs !== undefined && c.latestMs > c.plannedMs)).toBe(true);
    const done = frozen.slice(0, 2);
    const pitches = input.pitches.map((p, i) => {
      const own = done[i];
      return own ? { ...p, actual: { doneAtMs: own.plannedMs } } : p;
    });
    const nowMs = (done[1]?.plannedMs as number) + MIN_MS;
    const later = forecast({ ...input, departed: true, nowMs, pitches });
    const s = assess(frozen, progressOf(later, 10));
    expect(s).toMatchObject({ word: 'on schedule', lastPitch: 2, lateMin: 0 });
    expect(s.next?.pitch).toBe(3);
    expect(s.next?.marginMin).toBeGreaterThan(0);
  });
});
