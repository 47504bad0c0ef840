/**
 * Tells who listens that a trip's record has changed. Made before all other parts, so that each can
 * listen from its own beginning: the watch's loop, the boards.
 */
export class Changes {
  readonly #listeners = new Set<(trip: string) => void>();

  /** Calls `hear` after every change from now on; it must not throw. Ends when the result is called. */
  listen(hear: (trip: string) => void): () => void {
    this.#listeners.add(hear);
    return () => void this.#listeners.delete(hear);
  }

  /** To be called after a change of the trip is stored. */
  tell(trip: string): void {
    for (const hear of this.#listeners) hear(trip);
  }
}
