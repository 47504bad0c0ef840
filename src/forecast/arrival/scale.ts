import type { WorkClock } from '../work-clock.ts';

/**
 * A work clock as a scale: the work done by a moment if it never stopped, in minutes from an origin.
 * On it a stage is as long by night as by day, so that times add.
 */
export interface WorkScale {
  clock: WorkClock;
  /** Where each of the clock's segments is measured from, and the work there. */
  fromMin: Float64Array;
  begun: Float64Array;
}

/** The scale of a clock; nought is at `originMin`. */
export function workScale(clock: WorkClock, originMin: number): WorkScale {
  const { ends, rates } = clock;
  // The first segment has no beginning, so it is measured from its end, the last has no end.
  const first = Number.isFinite(ends[0]) ? (ends[0] as number) : originMin;
  const fromMin = Float64Array.from(ends, (_, i) => (i > 0 ? (ends[i - 1] as number) : first));
  const begun = new Float64Array(ends.length);
  const scale: WorkScale = { clock, fromMin, begun };
  for (let i = 1; i < ends.length; i++) {
    const minutes = (fromMin[i] as number) - (fromMin[i - 1] as number);
    begun[i] = (begun[i - 1] as number) + minutes * (rates[i - 1] as number);
  }
  const shift = toWork(scale, originMin);
  for (let i = 0; i < ends.length; i++) begun[i] = (begun[i] as number) - shift;
  return scale;
}

/** Work by a moment; infinite ones stay as they are. */
export function toWork({ clock, fromMin, begun }: WorkScale, atMin: number): number {
  if (!Number.isFinite(atMin)) return atMin;
  let i = 0;
  while ((clock.ends[i] as number) <= atMin) i++;
  return (begun[i] as number) + (atMin - (fromMin[i] as number)) * (clock.rates[i] as number);
}

/** The moment by which so much work is done: `toWork` backwards. */
export function toWall({ clock, fromMin, begun }: WorkScale, work: number): number {
  if (!Number.isFinite(work)) return work;
  let i = begun.length - 1;
  while (i > 0 && (begun[i] as number) > work) i--;
  return (fromMin[i] as number) + (work - (begun[i] as number)) / (clock.rates[i] as number);
}
