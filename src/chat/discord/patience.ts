import { setImmediate } from 'node:timers/promises';

/** So many answers may be awaited at a time until one more is sure to be slow: a forecast takes a tenth of a second. */
const AWAITED = 4;

/** What calls off waiting, once. */
interface Crowd {
  readonly came: Promise<void>;
  call(): void;
}

function crowd(): Crowd {
  let call = (): void => {};
  const came = new Promise<void>((resolve) => {
    call = resolve;
  });
  return { came, call };
}

/** How long one answer is awaited before it is announced: `ms`, or until many are awaited. None at all when they are many already. */
export interface Wait {
  ms: number;
  many: Promise<void>;
}

/**
 * One answer alone mostly comes soon enough to be spared the announcement. One among many doesn't; then nothing is gained by
 * waiting, and Discord is told at once that the command has come in.
 */
export class Patience {
  readonly #ms: number;
  #awaited = 0;
  #crowd = crowd();
  #announcing = 0;
  /** What was put off until every announcement is out. */
  #putOff: (() => void)[] = [];

  /** @param ms for an answer among few */
  constructor(ms: number) {
    this.#ms = ms;
  }

  /** Awaits an answer by `wait`. */
  async while<T>(wait: (how: Wait) => Promise<T>): Promise<T> {
    this.#awaited += 1;
    if (this.#awaited > AWAITED) this.#crowd.call();
    try {
      // What came in at the same moment is counted before any of it is begun.
      await setImmediate();
      const many = this.#awaited > AWAITED;
      return await wait({ ms: many ? 0 : this.#ms, many: this.#crowd.came });
    } finally {
      this.#awaited -= 1;
      // Anew when the many are gone; and when nobody waits, so that what waited for one is forgotten.
      if (this.#awaited === AWAITED - 1 || this.#awaited === 0) this.#crowd = crowd();
    }
  }

  /** An announcement is under way until this settles. */
  async announcing<T>(announcement: Promise<T>): Promise<T> {
    this.#announcing += 1;
    try {
      return await announcement;
    } finally {
      this.#announcing -= 1;
      if (this.#announcing === 0) for (const go of this.#putOff.splice(0)) go();
    }
  }

  /** Resolves when no announcement is under way: the work of one would hold up the word that the others have come in. */
  announced(): Promise<void> {
    if (this.#announcing === 0) return Promise.resolve();
    return new Promise((go) => this.#putOff.push(go));
  }
}
