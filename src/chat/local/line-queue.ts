/** Lines as they come in, handed out one at a time; a form's fields take theirs from here too. */
export class LineQueue {
  readonly #lines: string[] = [];
  #waiting: ((line: string | undefined) => void) | undefined;
  #ended = false;

  push(line: string): void {
    if (this.#waiting === undefined) this.#lines.push(line);
    else this.#hand(line);
  }

  /** No more lines; those that are there are still handed out. */
  end(): void {
    this.#ended = true;
    this.#hand(undefined);
  }

  /** Undefined when there are no more. */
  next(): Promise<string | undefined> {
    const line = this.#lines.shift();
    if (line !== undefined || this.#ended) return Promise.resolve(line);
    return new Promise((resolve) => {
      this.#waiting = resolve;
    });
  }

  #hand(line: string | undefined): void {
    const waiting = this.#waiting;
    this.#waiting = undefined;
    waiting?.(line);
  }
}
