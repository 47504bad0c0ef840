/**
 * Work done in slices, so that whoever runs it can let others have their turn between them: call `step`
 * until it is true, then `result`.
 */
export interface Run<T> {
  /** Draws up to so many ascents more, or sums up a column; true when all is done. 400 take a few milliseconds at everyday settings. */
  step(ascents: number): boolean;
  /** @throws Error before `step` has returned true */
  result(): T;
}

/**
 * Ascents first, then what is made of them, a piece a step.
 *
 * @param draw draws up to so many more; true when all are drawn
 * @param sumUp yields between pieces that take a fraction of a millisecond each
 */
export function sliced<T>(
  draw: (ascents: number) => boolean,
  sumUp: () => Generator<void, T>,
): Run<T> {
  let summing: Generator<void, T> | undefined;
  let made: { value: T } | undefined;
  return {
    step: (ascents) => {
      if (made) return true;
      if (!summing) {
        if (!draw(ascents)) return false;
        summing = sumUp();
      }
      const next = summing.next();
      if (next.done) made = { value: next.value };
      return made !== undefined;
    },
    result: () => {
      if (!made) throw new Error('not finished');
      return made.value;
    },
  };
}

/** All at once. */
export function atOnce<T>(run: Run<T>): T {
  while (!run.step(Number.MAX_SAFE_INTEGER));
  return run.result();
}
