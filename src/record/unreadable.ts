import type { TripRow } from '../store/port.ts';

/** A trip whose record can't be read. It is set aside, loudly; other trips go on. */
export class UnreadableRecord extends Error {
  readonly trip: string;
  readonly channel: string;
  /** The first entry that can't be read. */
  readonly seq: number;
  readonly why: string;

  constructor(row: Pick<TripRow, 'id' | 'channel'>, seq: number, why: string) {
    super('a record that this release can’t read: the trip is set aside');
    this.name = 'UnreadableRecord';
    this.trip = row.id;
    this.channel = row.channel;
    this.seq = seq;
    this.why = why;
  }
}
