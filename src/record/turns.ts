/**
 * One at a time for each key, in the order of asking. Posts to one trip wait for each other instead
 * of racing to the store and starting over; posts to other trips don't wait. Another process may
 * still win a race, which the store's own check catches.
 */
export class Turns {
  readonly #last = new Map<string, Promise<void>>();

  /** Runs `work` after everything asked before under the same key has ended, well or badly. */
  take<T>(key: string, work: () => Promise<T>): Promise<T> {
    const before = this.#last.get(key) ?? Promise.resolve();
    const result = before.then(work);
    const ended = result.then(
      () => {},
      () => {},
    );
    this.#last.set(key, ended);
    void ended.then(() => {
      if (this.#last.get(key) === ended) this.#last.delete(key);
    });
    return result;
  }

  /** How many keys somebody waits for. */
  get size(): number {
    return this.#last.size;
  }
}
