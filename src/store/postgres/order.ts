/** One after the other for each name, in the order of asking; those of other names don't wait. */
export class Order {
  readonly #last = new Map<string, Promise<unknown>>();

  after<T>(name: string, work: () => Promise<T>): Promise<T> {
    const before = this.#last.get(name);
    const result = before === undefined ? work() : before.then(work, work);
    this.#last.set(name, result);
    const forget = () => {
      if (this.#last.get(name) === result) this.#last.delete(name);
    };
    result.then(forget, forget);
    return result;
  }
}
