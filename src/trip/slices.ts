/** Work that yields where whoever runs it may let others have their turn, run without a pause. */
export function atOnce<T>(work: Generator<void, T>): T {
  for (;;) {
    const next = work.next();
    if (next.done === true) return next.value;
  }
}
