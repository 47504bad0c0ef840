import { cut, timeField, wholeField } from './fields.ts';
import type { GtfsLimits } from './limits.ts';
import { FeedError } from './refusal.ts';
import { readRows } from './rows.ts';
import type { FeedZip } from './zip.ts';

/** A trip's call at a stop, as stop_times.txt has it; the time may be left to be worked out. */
interface Call {
  sequence: number;
  /** Departure, or arrival where only that is given; seconds of the service day. */
  atS?: number;
  here: boolean;
  /** pickup_type of the reference: 0 regular, 1 none, 2 by phone, 3 with the driver. */
  pickup: number;
  line: number;
}

/** When a trip leaves the chosen stop. */
export interface TripTimes {
  /** Departure from the trip's first stop, seconds of the service day. */
  firstS: number;
  departures: { atS: number; arranged: boolean; estimated: boolean }[];
}

const FILE = 'stop_times.txt';

/** Reads the times of the trips asked for; of others nothing is kept. */
export async function readTripTimes(
  zip: FeedZip,
  limits: GtfsLimits,
  isWanted: (tripId: string) => boolean,
  isHere: (stopId: string) => boolean,
): Promise<Map<string, TripTimes>> {
  const calls = new Map<string, Call[]>();
  let kept = 0;
  await readRows(zip, FILE, limits, {
    required: ['trip_id', 'stop_id', 'stop_sequence', 'arrival_time', 'departure_time'],
    onRow: (row) => {
      const tripId = row.need('trip_id');
      if (!isWanted(tripId)) return;
      if (++kept > limits.timesKept)
        throw row.refuse(`More than ${limits.timesKept} times on this route.`);
      const atS = timeField(row, 'departure_time') ?? timeField(row, 'arrival_time');
      const call: Call = {
        sequence: wholeField(row, 'stop_sequence', { min: 0, max: 2 ** 31 - 1 }),
        here: isHere(row.need('stop_id')),
        pickup: wholeField(row, 'pickup_type', { min: 0, max: 3, otherwise: 0 }),
        line: row.line(),
        ...(atS === undefined ? {} : { atS }),
      };
      const ofTrip = calls.get(tripId);
      if (ofTrip) ofTrip.push(call);
      else calls.set(tripId, [call]);
    },
  });
  const times = new Map<string, TripTimes>();
  for (const [tripId, ofTrip] of calls) times.set(tripId, timesOf(tripId, ofTrip));
  return times;
}

function timesOf(tripId: string, calls: Call[]): TripTimes {
  calls.sort((a, b) => a.sequence - b.sequence);
  const refuse = (call: Call, reason: string) =>
    new FeedError({ file: FILE, line: call.line, reason: `Trip ${cut(tripId)}: ${reason}` });
  const [first, last] = [calls[0]!, calls[calls.length - 1]!];
  if (first.atS === undefined) throw refuse(first, 'no time at its first stop.');
  if (last.atS === undefined) throw refuse(last, 'no time at its last stop.');
  let before = first.atS;
  for (const [index, call] of calls.entries()) {
    if (index > 0 && call.sequence === calls[index - 1]!.sequence) {
      throw refuse(call, `stop_sequence ${call.sequence} comes twice.`);
    }
    if (call.atS !== undefined && call.atS < before) throw refuse(call, 'its times go back.');
    before = call.atS ?? before;
  }
  const departures = calls.flatMap((call, index) => {
    // Nobody boards where the trip ends, or where the feed rules it out.
    if (!call.here || call.pickup === 1 || index === calls.length - 1) return [];
    const atS = call.atS ?? between(calls, index);
    return [{ atS, arranged: call.pickup > 1, estimated: call.atS === undefined }];
  });
  return { firstS: first.atS, departures };
}

/** A time between two given ones, in even steps; cut to the minute, as it's better to be early. */
function between(calls: readonly Call[], index: number): number {
  let low = index;
  let high = index;
  while (calls[low]!.atS === undefined) low--;
  while (calls[high]!.atS === undefined) high++;
  const [from, to] = [calls[low]!.atS!, calls[high]!.atS!];
  const exact = from + ((to - from) * (index - low)) / (high - low);
  return Math.max(from, Math.floor(exact / 60) * 60);
}
