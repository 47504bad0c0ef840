import { waysTo } from '../../src/alarm/consent.ts';
import { importedLines } from '../../src/alarm/words/imported.ts';
import type { App } from '../../src/app/app.ts';
import { askAgain } from '../../src/app/asking-contacts.ts';
import { type Call, type FileArg, sub } from '../../src/app/command.ts';
import { mustMayOpen } from '../../src/app/openers.ts';
import { setUpButtons } from '../../src/app/set-up.ts';
import { unconfirmedWords } from '../../src/app/watch/warnings.ts';
import { takenWords } from '../../src/app/words/pace.ts';
import { rosterWords, routeWords } from '../../src/app/words/trip.ts';
import { chooseZone, nameButton, type Typed } from '../../src/app/zone-choice.ts';
import { LIMITS } from '../../src/limits.ts';
import type { RecordLine } from '../../src/record/file/columns.ts';
import { importFacts } from '../../src/record/file/import.ts';
import { inSlices } from '../../src/record/in-slices.ts';
import { personOf } from '../../src/record/membership.ts';
import { openTrip } from '../../src/record/open-trip.ts';
import { Refusal } from '../../src/say/refusal.ts';
import type { Line, Reply } from '../../src/say/reply.ts';
import { clock } from '../../src/time/format.ts';
import { coordinatesIn } from '../../src/trip/coordinates.ts';
import type { RawFact } from '../../src/trip/fact.ts';
import { fold } from '../../src/trip/fold.ts';
import { readingFacts } from '../../src/trip/read.ts';
import { present, type TripState } from '../../src/trip/state.ts';
import { basics, nameOption } from './basics.ts';
import { paceFrom, paceFromOption } from './pace-from.ts';
import { suggestZones } from './zones.ts';

const options = {
  name: nameOption,
  zone: {
    type: 'string',
    description: 'Time zone of the wall, like Oslo; left out, that of lat and lon',
    maxLength: 64,
    suggest: suggestZones,
  },
  ...basics,
  pace_from: paceFromOption,
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
  counts: ['opened', 'openedHere'],
  managers: true,
  options,
  async run(call, { record, pace_from: from, ...typed }, app) {
    await mustMayOpen(app.store, call);
    return record === undefined
      ? openTyped(app, call, typed, from)
      : openFromRecord(app, call, record);
  },
});

/** Opens a trip from what was typed. */
async function openTyped(
  app: App,
  call: Call,
  typed: Typed,
  from: string | undefined,
): Promise<Reply> {
  const { name, units = 'm', confidence = 90 } = typed;
  const place = placeOf(typed);
  const chosen = chooseZone(typed, place, call.atMs);
  if (name === undefined || chosen === undefined) throw incomplete(typed, chosen?.zone);
  const data = {
    name: name.trim(),
    zone: chosen.zone,
    place,
    units,
    confidence: confidence / 100,
    ...(typed.emergency === undefined ? {} : { emergencyNumber: typed.emergency }),
  };
  const taken = from === undefined ? [] : [await paceFrom(app, call, from, call.where.guild)];
  return openTrip(app, call, {
    first: () => [{ kind: 'trip.opened', data }, ...taken],
    answer: (state) => answer(state, call, chosen.lines),
  });
}

function incomplete(typed: Typed, zone: string | undefined): Refusal {
  const name = typed.name?.replaceAll('"', "'");
  const like: Line = [
    'Like ',
    { code: `/trip open name:"${name ?? 'Our wall'}" zone:${zone ?? 'Europe/Oslo'}` },
  ];
  if (zone !== undefined) {
    const needed = `A trip needs a name too. Its wall time will be ${zone}.`;
    return new Refusal('needs-value', [needed, like], nameButton(typed, zone));
  }
  const what =
    name === undefined ? 'a name and the time zone of the wall' : 'the time zone of the wall';
  return new Refusal('needs-value', [
    `A trip needs ${what}. A city in it will do, or lat: and lon: alone.`,
    like,
  ]);
}

/** Where the wall is: its name, its latitude and longitude, or those of a map in place of the name. */
export function placeOf(typed: Pick<Typed, 'place' | 'lat' | 'lon'>): TripState['place'] {
  const onMap = coordinatesIn(typed.place ?? '');
  const own = pair(typed.lat, typed.lon);
  if (onMap === undefined || own.lat !== undefined) {
    return { ...(typed.place === undefined ? {} : { name: typed.place }), ...own };
  }
  if (Math.abs(onMap.lat) > 90 || Math.abs(onMap.lon) > 180) {
    throw new Refusal('out-of-range', [
      `${typed.place}: latitude comes first and goes to 90, longitude to 180.`,
      ['Like ', { code: '62.10, 6.90' }, ', south and west with a minus.'],
    ]);
  }
  return onMap;
}

/** Latitude and longitude come together or not at all. */
function pair(lat: number | undefined, lon: number | undefined) {
  if ((lat === undefined) !== (lon === undefined)) {
    throw new Refusal(
      'needs-value',
      'A place needs both, latitude and longitude: lat:62.1 lon:6.9.',
    );
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
      ...takenWords(state),
      ...(state.place.lat === undefined
        ? ['No latitude and longitude yet, so no daylight. A map on a phone shows them.']
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
    buttons: setUpButtons(state),
  };
}

/**
 * A record may say of anybody that they agreed to be contact, so they are asked here once more. What can't be
 * read, or is closed, is left to be refused or read.
 */
async function withAsking(app: App, call: Call, raws: RawFact[]): Promise<RawFact[]> {
  const [first] = raws;
  const facts = await inSlices(readingFacts(raws));
  if (first === undefined || !facts.ok) return raws;
  const state = fold(first.trip, facts.value);
  if (state.closedAtMs !== undefined) return raws;
  const ways = present(state)
    .filter((p) => p.roles.includes('contact'))
    .flatMap((p) => waysTo(state, p));
  const drafts = await askAgain(app, call, ways);
  const head = { trip: first.trip, atMs: call.atMs, recordedAtMs: call.atMs, by: call.actor };
  return [
    ...raws,
    ...drafts.map(({ kind, data }, i) => ({
      ...head,
      seq: raws.length + 1 + i,
      id: app.ids.event(),
      kind,
      data,
    })),
  ];
}

async function openFromRecord(app: App, call: Call, file: FileArg): Promise<Reply> {
  const lines = await app.reading.readRecord(await file.bytes(LIMITS.recordBytes));
  return openTrip(app, call, {
    async first(trip) {
      const from = { by: call.actor, atMs: call.atMs, id: app.ids.event() };
      return withAsking(app, call, await importFacts(trip, lines, from));
    },
    answer(state) {
      if (!isIn(state, lines, call.actor.id)) {
        throw new Refusal('not-on-roster', [
          "You aren't on the roster in that record, so you can't open it here.",
          'Somebody who is on it can.',
        ]);
      }
      const closed = state.closedAtMs !== undefined;
      return {
        lines: [
          closed
            ? `${state.name} is here to be read, from a record of ${lines.length} entries; it is closed.`
            : `${state.name} is open in this channel, from a record of ${lines.length} entries.`,
          ...importedLines(state, call.atMs),
          `${routeWords(state)} ${rosterWords(state)}`,
          ...unconfirmedWords(state),
          ...(closed ? [['Read it: ', { code: '/log show' }]] : []),
        ],
      };
    },
  });
}

/** Whether somebody is on the roster of a record, or opened the trip where it was told. */
function isIn(state: TripState, [opening]: readonly RecordLine[], user: string): boolean {
  return opening?.by_id === user || personOf(state, user) !== undefined;
}
