/** One change, as it is stored. Nothing is deleted: a wrong post is struck by another event. */
export interface TripEvent<K extends string = string, D = unknown> {
  trip: string;
  /** 1, 2, 3… within the trip: the number people see in the log. */
  seq: number;
  /** Unique within the trip; strikes and amendments name it. */
  id: string;
  kind: K;
  /** When it happened on the wall, epoch milliseconds. */
  atMs: number;
  /** When it was told. */
  recordedAtMs: number;
  by: { id: string; name: string };
  /** The time as the person typed it, kept so that a changed zone rule can be redone. */
  typed?: string;
  data: D;
}
