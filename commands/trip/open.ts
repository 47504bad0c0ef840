import type { App } from '../../src/app/app.ts';
import { type Args, type Call, type FileArg, sub } from '../../src/app/command.ts';
import { rosterWords, routeWords } from '../../src/app/words/trip.ts';
import { LIMITS } from '../../src/limits.ts';
import { importFacts, readRecord } from '../../src/record/file/import.ts';
import { mayAct } from '../../src/record/membership.ts';
import { openTrip } from '../../src/record/open-trip.ts';
import { Refusal } from '../../src/say/refusal.ts';
import type { Reply } from '../../src/say/reply.ts';
import { clock } from '../../src/time/format.ts';
import { isZone } from '../../src/time/zone.ts';
import type { TripState } from '../../src/trip/state.ts';
import { basics, nameOption } from './basics.ts';
import { suggestZones } from './zones.ts';

const options = {
  name: nameOption,
  zone: {
    type: 'string',
    description: 'Time zone of the wall, like Europe/Oslo',
    maxLength: 64,
    suggest: suggestZones,
  },
  ...basics,
  record: { type: 'file', description: 'Instead: a record from /log export' },
} as const;

declare module '../../src/say/press.ts' {
  interface Paths {
    'trip open': typeof options;
  }
}

export const open = sub({
  description: 'Open a trip in this channel',
  access: 'anyone',
  options,
  run: (call, args, app) =>
    args.record === undefined ? openTyped(app, call, args) : openFromRecord(app, call, args.record),
});

/** Opens a trip from what was typed. */
async function openTyped(app: App, call: Call, input: Args<typeof options>): Promise<Reply> {
  const { name, zone } = input;
  if (name === undefined || zone === undefined) {
    throw new Refusal('needs-value', [
      'A trip needs a name and the time zone of the wall.',
      ['Like ', { code: '/trip open name:"Our wall" zone:Europe/Oslo' }],
    ]);
  }
  if (!isZone(zone)) {
    throw new Refusal('no-such-choice', [
      `${zone} isn't a zone of the tz database.`,
      'They look like Europe/Oslo or America/Los_Angeles; begin typing and pick one.',
    ]);
  }
  const data = {
    name: name.trim(),
    zone,
    place: {
      ...(input.place === undefined ? {} : { name: input.place }),
      ...pair(input.lat, input.lon),
    },
    units: input.units ?? 'm',
    confidence: (input.confidence ?? 90) / 100,
    ...(input.emergency === undefined ? {} : { emergencyNumber: input.emergency }),
  };
  return openTrip(app, call, {
    first: () => [{ kind: 'trip.opened', data }],
    answer: (state) => answer(state, call),
  });
}

/** Latitude and longitude come together or not at all. */
export function pair(lat: number | undefined, lon: number | undefined) {
  if ((lat === undefined) !== (lon === undefined)) {
    throw new Refusal(
      'needs-value',
      'A place needs both, latitude and longitude: lat:62.1 lon:6.9.',
    );
  }
  return lat === undefined || lon === undefined ? {} : { lat, lon };
}

function answer(state: TripState, call: Call): Reply {
  return {
    lines: [
      `${state.name} is open in this channel.`,
      `Wall time ${state.zone}, now ${clock(state.zone, call.atMs)}. Lengths in ${state.units}. ` +
        `Cutoffs are to be met with ${Math.round(state.confidence * 100)} % confidence.`,
      ...(state.place.lat === undefined
        ? ['No latitude and longitude yet, so no daylight: /trip edit.']
        : []),
      [
        'Next: ',
        { code: '/topo load' },
        ', then ',
        { code: '/roster add' },
        '. /help knows what is missing.',
      ],
      "A forecast is no decision and an alert is no rescue service; rock and closures are the land manager's rule.",
    ],
  };
}

async function openFromRecord(app: App, call: Call, file: FileArg): Promise<Reply> {
  const lines = readRecord(await file.bytes(LIMITS.recordBytes));
  return openTrip(app, call, {
    first: (trip) => importFacts(trip, lines),
    answer(state) {
      if (!mayAct(state, call.actor.id)) {
        throw new Refusal('not-on-roster', [
          "You aren't on the roster in that record, so you can't open it here.",
          'Somebody who is on it can.',
        ]);
      }
      const closed = state.phase === 'closed';
      return {
        lines: [
          closed
            ? `${state.name} is here to be read, from a record of ${lines.length} entries; it is closed.`
            : `${state.name} is open in this channel, from a record of ${lines.length} entries.`,
          `${routeWords(state)} ${rosterWords(state)}`,
          ...(closed ? [['Read it: ', { code: '/log show' }]] : []),
        ],
      };
    },
  });
}
