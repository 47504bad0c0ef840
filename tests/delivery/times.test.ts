/** Time for waiting that never goes back. */
import { describe, expect, it } from 'vitest';
import { ForwardTime } from '../../src/delivery/times.ts';
import { HOUR } from '../alarm/trip.ts';
import { ManualClock } from '../helpers/clock.ts';

function setOut(wallMs = HOUR) {
  const clock = new ManualClock();
  clock.set(wallMs);
  return { clock, time: new ForwardTime(clock) };
}

describe('time for waiting', () => {
  it('goes with the wall clock, also when that is set forward', () => {
    const { clock, time } = setOut();
    clock.advance(5_000);
    expect(time.nowMs()).toBe(HOUR + 5_000);
    clock.set(3 * HOUR);
    expect(time.nowMs()).toBe(3 * HOUR);
  });

  it('goes on from where it was when the wall clock is set back', () => {
    const { clock, time } = setOut();
    clock.advance(5_000);
    time.nowMs();
    clock.set(0);
    clock.advance(7_000);
    expect(time.nowMs()).toBe(HOUR + 12_000);
    clock.advance(1_000);
    expect(time.nowMs()).toBe(HOUR + 13_000);
  });

  it('is whole milliseconds, and loses none of the fractions', () => {
    const { clock, time } = setOut();
    clock.set(0);
    for (let i = 0; i < 10; i++) {
      clock.advance(0.5);
      expect(Number.isInteger(time.nowMs())).toBe(true);
    }
    expect(time.nowMs()).toBe(HOUR + 5);
  });

  it('does not go back with a clock that should never go back and does', () => {
    let monoMs = 10_000;
    const time = new ForwardTime({ wallMs: () => 0, monoMs: () => monoMs, sleep: async () => {} });
    monoMs = 4_000;
    expect(time.nowMs()).toBe(0);
    monoMs = 4_500;
    expect(time.nowMs()).toBe(500);
  });

  it('is raised to where another run had got, and never lowered', () => {
    const { clock, time } = setOut();
    time.raiseTo(HOUR - 1);
    expect(time.nowMs()).toBe(HOUR);
    time.raiseTo(2 * HOUR);
    expect(time.nowMs()).toBe(2 * HOUR);
    clock.advance(250);
    expect(time.nowMs()).toBe(2 * HOUR + 250);
    // Nor while the wall clock is behind, when nothing else would hold it up.
    clock.set(0);
    time.raiseTo(HOUR);
    expect(time.nowMs()).toBe(2 * HOUR + 250);
  });
});
