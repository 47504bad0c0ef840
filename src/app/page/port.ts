/** Links to the read-only status page of a trip. */
export interface Pages {
  /** A new link; the one before stops working. */
  make(trip: string, nowMs: number): Promise<string>;
  /** False when there was none. */
  revoke(trip: string): Promise<boolean>;
  /** When the link in force was made; the link itself isn't kept. */
  madeAt(trip: string): Promise<number | undefined>;
}
