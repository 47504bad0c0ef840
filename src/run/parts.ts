/** What was started, in order. */
export class Parts {
  readonly #closing: (() => Promise<void>)[] = [];

  add(close: () => Promise<void>): void {
    this.#closing.push(close);
  }

  /** Ends the last first, so that what needs others ends before them. */
  async close(): Promise<void> {
    for (const close of this.#closing.splice(0).reverse()) await close();
  }
}
