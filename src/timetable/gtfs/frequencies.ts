import { cut, timeField, wholeField } from './fields.ts';
import type { GtfsLimits } from './limits.ts';
import { FeedError } from './refusal.ts';
import { readRows } from './rows.ts';
import type { FeedZip } from './zip.ts';

/** A trip that repeats, timed at its first stop, in seconds of the service day. */
export interface Frequency {
  fromS: number;
  toS: number;
  everyS: number;
  /** True for a timetable written short, false for runs kept at a headway without fixed times. */
  exact: boolean;
  line: number;
}

const FILE = 'frequencies.txt';

/** Reads frequencies.txt for the trips asked for; spans of one trip must not overlap. */
export async function readFrequencies(
  zip: FeedZip,
  limits: GtfsLimits,
  isWanted: (tripId: string) => boolean,
): Promise<Map<string, Frequency[]>> {
  const frequencies = new Map<string, Frequency[]>();
  let count = 0;
  await readRows(zip, FILE, limits, {
    required: ['trip_id', 'start_time', 'end_time', 'headway_secs'],
    mandatory: false,
    onRow: (row) => {
      if (++count > limits.calendarRows) throw row.refuse(`More than ${limits.calendarRows} rows.`);
      const tripId = row.need('trip_id');
      const [fromS, toS] = [timeField(row, 'start_time'), timeField(row, 'end_time')];
      if (fromS === undefined || toS === undefined)
        throw row.refuse('start_time or end_time is empty.');
      if (toS <= fromS) throw row.refuse('end_time is not after start_time.');
      const everyS = wholeField(row, 'headway_secs', { min: 1, max: 86_400 });
      const exact = wholeField(row, 'exact_times', { min: 0, max: 1, otherwise: 0 }) === 1;
      if (!isWanted(tripId)) return;
      const ofTrip = frequencies.get(tripId) ?? [];
      ofTrip.push({ fromS, toS, everyS, exact, line: row.line() });
      frequencies.set(tripId, ofTrip);
    },
  });
  for (const [tripId, ofTrip] of frequencies) assertApart(tripId, ofTrip);
  return frequencies;
}

function assertApart(tripId: string, spans: Frequency[]): void {
  spans.sort((a, b) => a.fromS - b.fromS);
  for (const [index, span] of spans.entries()) {
    if (index > 0 && span.fromS < spans[index - 1]!.toS) {
      const reason = `Trip ${cut(tripId)}: its spans overlap.`;
      throw new FeedError({ file: FILE, line: span.line, reason });
    }
  }
}
