import type { Loaded } from './writing.ts';

/** Memory for trips that are kept. A party's three days take well under a megabyte, the longest record six. */
const KEPT_BYTES = 96 * 1024 * 1024;
/** What a fact takes beside what it says: its head, its entry in the log, its sign of life. Measured. */
const FACT_BYTES = 600;
/** What a trip takes before anything is told. */
const TRIP_BYTES = 16 * 1024;

/** Trips as they were read last. Beyond a bound in bytes those that were asked for longest ago go. */
export class KeptTrips {
  readonly #most: number;
  /** The latest at the end. */
  readonly #trips = new Map<string, { loaded: Loaded; bytes: number }>();
  #bytes = 0;

  /** @param most bytes, as far as they can be told: a guess by what the facts say */
  constructor(most = KEPT_BYTES) {
    this.#most = most;
  }

  get(trip: string): Loaded | undefined {
    return this.#trips.get(trip)?.loaded;
  }

  /** Keeps a trip, as the one asked for last. */
  put(loaded: Loaded): void {
    const { id } = loaded.row;
    const before = this.#trips.get(id);
    this.drop(id);
    const bytes = bytesOf(loaded, before);
    this.#trips.set(id, { loaded, bytes });
    this.#bytes += bytes;
    for (const oldest of this.#trips.keys()) {
      if (this.#bytes <= this.#most || this.#trips.size === 1) break;
      this.drop(oldest);
    }
  }

  drop(trip: string): void {
    this.#bytes -= this.#trips.get(trip)?.bytes ?? 0;
    this.#trips.delete(trip);
  }
}

/** Adds what was told since to what was counted before. */
function bytesOf({ history }: Loaded, before: { loaded: Loaded; bytes: number } | undefined) {
  const counted = before?.loaded.history.length ?? 0;
  const isLonger = before !== undefined && history.length >= counted;
  let bytes = isLonger ? before.bytes : TRIP_BYTES;
  for (let i = isLonger ? counted : 0; i < history.length; i++) {
    // Once as it was told, and up to twice in the state: of the plan alone, and with the wall.
    bytes += FACT_BYTES + 3 * sizeOf(history[i]?.data);
  }
  return bytes;
}

function sizeOf(value: unknown): number {
  if (typeof value === 'string') return 24 + value.length;
  if (typeof value !== 'object' || value === null) return 8;
  let bytes = 48;
  for (const key in value) bytes += 8 + sizeOf((value as Record<string, unknown>)[key]);
  return bytes;
}
