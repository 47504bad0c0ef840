import type { Forecast } from '../../forecast/model.ts';

const KEPT = 100;

/** The forecasts made last, so that the same question asked twice costs nothing. Each bot has its own. */
export class KeptForecasts {
  readonly #kept = new Map<string, Promise<Forecast>>();

  /** The forecast under `key`, from `make` when it isn't known. A failed one is made anew next time. */
  of(key: string, make: () => Promise<Forecast>): Promise<Forecast> {
    const known = this.#kept.get(key);
    if (known !== undefined) return known;
    const made = make();
    this.#kept.set(key, made);
    for (const oldest of this.#kept.keys()) {
      if (this.#kept.size <= KEPT) break;
      this.#kept.delete(oldest);
    }
    made.catch(() => this.#kept.delete(key));
    return made;
  }
}
