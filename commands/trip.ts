import { type Command, type Options, sub } from '../src/app/command.ts';
import { suggestFigures } from '../src/app/forecast/suggest.ts';
import { toldAtOption } from '../src/app/options.ts';
import { editTrip, tripFields } from '../src/app/trip/edit.ts';
import { open } from '../src/app/trip/open.ts';
import { pace } from '../src/app/trip/pace.ts';
import { close, depart, down } from '../src/app/trip/phases.ts';
import { purge } from '../src/app/trip/purge.ts';
import { showTrip } from '../src/app/trip/show.ts';
import { suggestZones } from '../src/app/trip/zones.ts';
import { suggestClimbers } from '../src/app/who.ts';
import { LIMITS } from '../src/limits.ts';

const basics = {
  place: {
    type: 'string',
    description: 'Where the wall is, in words',
    maxLength: LIMITS.nameLength,
  },
  lat: { type: 'number', description: 'Latitude in degrees, north positive', min: -90, max: 90 },
  lon: { type: 'number', description: 'Longitude in degrees, east positive', min: -180, max: 180 },
  units: {
    type: 'string',
    description: 'Of lengths: metres unless named',
    choices: [
      { name: 'metres', value: 'm' },
      { name: 'feet', value: 'ft' },
    ],
  },
  confidence: {
    type: 'integer',
    description: 'How sure you want to be of every cutoff, in percent: 90 unless named',
    min: 50,
    max: 99,
  },
  emergency: {
    type: 'string',
    description: 'The local emergency number',
    minLength: 2,
    maxLength: 40,
  },
} as const satisfies Options;

export default {
  name: 'trip',
  description: 'A trip in this channel, from opening to everyone down',
  subs: {
    open: sub({
      description: 'Open a trip in this channel',
      access: 'anyone',
      options: {
        name: {
          type: 'string',
          description: 'What the party calls it',
          maxLength: LIMITS.nameLength,
        },
        zone: {
          type: 'string',
          description: 'Time zone of the wall, like Oslo; left out, that of lat and lon',
          maxLength: 64,
          suggest: suggestZones,
        },
        ...basics,
        record: { type: 'file', description: 'Instead: a record from /log export' },
      },
      run: (call, { confidence, ...args }, app) =>
        open(app, call, { ...args, confidencePct: confidence }),
    }),
    show: sub({
      description: 'Where the trip stands and what is set',
      access: 'look',
      options: {},
      run: (call, _args, app) => showTrip(app, call),
    }),
    edit: sub({
      description: 'Change what the trip was opened with, the ropes and the day',
      access: 'act',
      options: {
        name: {
          type: 'string',
          description: 'What the party calls it',
          maxLength: LIMITS.nameLength,
        },
        ...basics,
        ...tripFields,
      },
      run: (call, args, app) => editTrip(app, call, args),
    }),
    pace: sub({
      description: 'The figures behind the forecast, with their origin; or set one of your own',
      access: 'act',
      private: true,
      options: {
        figure: {
          type: 'string',
          description: 'Which figure',
          maxLength: 40,
          suggest: suggestFigures,
        },
        climber: {
          type: 'string',
          description: "Or: a climber's leads, times the default",
          maxLength: LIMITS.nameLength,
          suggest: suggestClimbers,
        },
        value: { type: 'number', description: 'Your own; left out, it goes back to ours' },
      },
      run: (call, args, app) => pace(app, call, args),
    }),
    depart: sub({
      description: 'The party has left: from here on silence counts',
      access: 'act',
      options: { at: toldAtOption },
      run: (call, args, app) => depart(app, call, args.at),
    }),
    down: sub({
      description: 'Everyone is down: nothing falls due any more',
      access: 'act',
      options: { at: toldAtOption },
      run: (call, args, app) => down(app, call, args.at),
    }),
    close: sub({
      description: 'End the trip in this channel; its record stays',
      access: 'act',
      options: { sure: { type: 'boolean', description: 'Asked before', hidden: true } },
      run: (call, args, app) => close(app, call, args.sure === true),
    }),
    purge: sub({
      description: 'Erase a closed trip with all its personal data',
      access: 'act',
      private: true,
      options: { sure: { type: 'string', description: 'Asked before', hidden: true } },
      run: (call, args, app) => purge(app, call, args.sure),
    }),
  },
} satisfies Command;
