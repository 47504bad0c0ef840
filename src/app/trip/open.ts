import { LIMITS } from '../../limits.ts';
import { clock } from '../../time/format.ts';
import type { TripState } from '../../trip/state.ts';
import type { App } from '../app.ts';
import type { Call, FileArg } from '../command.ts';
import { mayAct } from '../membership.ts';
import { freshEvents, openTrip } from '../open-trip.ts';
import { importEvents, readRecord } from '../record/import.ts';
import { Refusal } from '../refusal.ts';
import type { Line, Reply } from '../reply.ts';
import { rosterWords, routeWords } from '../words/trip.ts';
import { chooseZone, nameButton, type Typed } from './zone-choice.ts';

export interface OpenInput {
  name?: string | undefined;
  zone?: string | undefined;
  place?: string | undefined;
  lat?: number | undefined;
  lon?: number | undefined;
  units?: string | undefined;
  confidencePct?: number | undefined;
  emergency?: string | undefined;
  record?: FileArg | undefined;
}

/** Opens a trip from what was typed, or from an exported record. */
export async function open(app: App, call: Call, input: OpenInput): Promise<Reply> {
  if (input.record !== undefined) return openFromRecord(app, call, input.record);
  const { record: _record, confidencePct, ...rest } = input;
  const typed = { ...rest, confidence: confidencePct };
  const place = pair(input.lat, input.lon);
  const chosen = chooseZone(typed, place, call.atMs);
  const { name } = input;
  if (name === undefined || chosen === undefined) throw incomplete(typed, chosen?.zone);
  const data = {
    name: name.trim(),
    zone: chosen.zone,
    place: { ...(input.place === undefined ? {} : { name: input.place }), ...place },
    units: input.units ?? 'm',
    confidence: (input.confidencePct ?? 90) / 100,
    ...(input.emergency === undefined ? {} : { emergencyNumber: input.emergency }),
  };
  return openTrip(app, call, {
    events: freshEvents(app, call, [{ kind: 'trip.opened', data }]),
    answer: (state) => answer(state, call, chosen.lines),
  });
}

function incomplete(typed: Typed, zone: string | undefined): Refusal {
  const name = typed.name === undefined ? undefined : String(typed.name).replaceAll('"', "'");
  const like: Line = [
    'Like ',
    { code: `/trip open name:"${name ?? 'Our wall'}" zone:${zone ?? 'Europe/Oslo'}` },
  ];
  if (zone !== undefined) {
    const needed = `A trip needs a name too. Its wall time will be ${zone}.`;
    return new Refusal([needed, like], nameButton(typed, zone));
  }
  const what =
    name === undefined ? 'a name and the time zone of the wall' : 'the time zone of the wall';
  return new Refusal([`A trip needs ${what}. A city in it will do, or lat: and lon: alone.`, like]);
}

/** Latitude and longitude come together or not at all. */
export function pair(lat: number | undefined, lon: number | undefined) {
  if ((lat === undefined) !== (lon === undefined)) {
    throw new Refusal('A place needs both, latitude and longitude: lat:62.1 lon:6.9.');
  }
  return lat === undefined || lon === undefined ? {} : { lat, lon };
}

function answer(state: TripState, call: Call, aboutZone: readonly Line[]): Reply {
  return {
    lines: [
      `${state.name} is open in this channel.`,
      `Wall time ${state.zone}, now ${clock(state.zone, call.atMs)}. Lengths in ${state.units}. ` +
        `Cutoffs are to be met with ${Math.round(state.confidence * 100)} % confidence.`,
      ...aboutZone,
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
    events: (trip) => importEvents(trip, lines),
    answer(state) {
      if (!mayAct(state, call.actor.id)) {
        throw new Refusal([
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
