import { createHash } from 'node:crypto';
import type { QuickForecast } from '../../forecast/forecast.ts';
import type { LatestTime } from '../../forecast/latest.ts';
import type { Forecast, ForecastInput } from '../../forecast/model.ts';
import { Turns } from '../../record/turns.ts';

/** What is computed of an input, by what was asked of it. */
interface Made {
  whole: Forecast;
  quick: QuickForecast;
  latest: LatestTime[][];
}

/** An input; for latest times with the chances wanted besides. */
type Asked = ForecastInput & { confidences?: readonly number[] };

/** Some kilobytes each. */
const KEPT = 200;

/**
 * The forecasts made last, so that whoever asks the same (an answer, the board, the page, the watch) costs
 * nothing. A forecast is a pure function of its input, so the input is what it is kept by.
 */
export class KeptForecasts {
  readonly #kept = new Map<string, Promise<Made[keyof Made]>>();
  readonly #most: number;
  readonly #turns = new Turns();

  constructor(most = KEPT) {
    this.#most = most;
  }

  /**
   * First come, first served: one forecast is worked on at a time, so that a turn of the event loop holds a slice of
   * one, however many are asked for at once; and whoever came first has an answer soonest.
   */
  inTurn<T>(work: () => Promise<T>): Promise<T> {
    return this.#turns.take('', work);
  }

  /** What `make` gives for this input, or gave before. A failed one is made anew next time. */
  of<K extends keyof Made>(asked: K, input: Asked, make: () => Promise<Made[K]>): Promise<Made[K]> {
    const key = `${asked} ${createHash('sha1').update(asText(input)).digest('base64')}`;
    const made = (this.#kept.get(key) as Promise<Made[K]> | undefined) ?? make();
    // Asked for last, forgotten last.
    this.#kept.delete(key);
    this.#kept.set(key, made);
    for (const oldest of this.#kept.keys()) {
      if (this.#kept.size <= this.#most) break;
      this.#kept.delete(oldest);
    }
    made.catch(() => this.#kept.delete(key));
    return made;
  }
}

/** An input in words. JSON has no infinite numbers; they are told apart from what is missing. */
function asText(input: Asked): string {
  return JSON.stringify(input, (_, value: unknown) =>
    typeof value === 'number' && !Number.isFinite(value) ? String(value) : value,
  );
}
