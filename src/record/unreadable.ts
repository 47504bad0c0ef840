import type { TripRow } from '../store/port.ts';

/** A trip whose record can't be read. It is set aside, loudly; other trips go on. */
export class UnreadableRecord extends Error {
  readonly trip: string;
  readonly channel: string;
  /** A closed one misses no watch. */
  readonly open: boolean;
  /** The first entry that can't be read. */
  readonly seq: number;
  readonly why: string;

  constructor(row: Pick<TripRow, 'id' | 'channel' | 'status'>, seq: number, why: string) {
    super('a record that this release can’t read: the trip is set aside');
    this.name = 'UnreadableRecord';
    this.trip = row.id;
    this.channel = row.channel;
    this.open = row.status === 'open';
    this.seq = seq;
    this.why = why;
  }
}

/**
 * What people are told of such a trip, in its channel, on its board and when they ask. Nothing of the
 * record is needed to say it.
 */
export function unreadableLines({ trip, seq, open }: UnreadableRecord): string[] {
  return [
    `tagline can't read this trip's record any more, from entry ${seq} on. Nothing is lost.`,
    ...(open
      ? [
          'Nobody watches its clock: keep the times yourselves, and tell whoever waits at home.',
          'Until it is mended, keep on paper what happens. A new trip can be opened in another channel;',
          'or who is on this one, or a manager of the server, closes it here: /trip close.',
        ]
      : []),
    `Tell whoever runs this bot; in its log it is trip ${trip}, entry ${seq}.`,
  ];
}

/** For `catch`: a record that can't be read is an answer; any other fault stays one. */
export function asUnreadable(error: unknown): UnreadableRecord {
  if (error instanceof UnreadableRecord) return error;
  throw error;
}
