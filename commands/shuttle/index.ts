import { type Command, sub } from '../../src/app/command.ts';
import { LIMITS } from '../../src/limits.ts';
import {
  loadFeed,
  pickFromFeed,
  suggestFeedDirections,
  suggestFeedRoutes,
  suggestFeedStops,
} from './feeds.ts';
import { addShuttle, nextShuttle } from './shuttle.ts';

const name = {
  type: 'string',
  description: 'What to call it: boat, bus; shuttle unless named',
  maxLength: LIMITS.nameLength,
} as const;

export default {
  name: 'shuttle',
  description: 'The way home from the trailhead',
  subs: {
    add: sub({
      description: 'A timetable as you would say it',
      access: 'act',
      options: {
        times: {
          type: 'string',
          description: 'Like: first 06:20, last 18:40, every 20 min, 1 May–12 Oct, not Sundays',
          required: true,
          maxLength: 1000,
        },
        name,
      },
      run: (call, args, app) => addShuttle(app, call, args.times, args.name ?? 'shuttle'),
    }),
    load: sub({
      description: 'Read a GTFS feed, then pick your stop from it',
      access: 'act',
      options: { file: { type: 'file', description: 'The zip file', required: true } },
      run: (call, args, app) => loadFeed(app, call, args.file),
    }),
    pick: sub({
      description: 'Your stop, route and direction out of the feed read',
      access: 'act',
      options: {
        stop: {
          type: 'string',
          description: 'Where you board',
          required: true,
          maxLength: 100,
          suggest: suggestFeedStops,
        },
        route: {
          type: 'string',
          description: 'Which line',
          required: true,
          maxLength: 100,
          suggest: suggestFeedRoutes,
        },
        direction: {
          type: 'string',
          description: 'Which way',
          maxLength: 100,
          suggest: suggestFeedDirections,
        },
        name,
      },
      run: (call, args, app) => pickFromFeed(app, call, { ...args, name: args.name ?? 'shuttle' }),
    }),
    next: sub({
      description: 'The next ones, the one you will make, and the odds for the last',
      access: 'look',
      options: {},
      run: (call, _args, app) => nextShuttle(app, call),
    }),
  },
} satisfies Command;
