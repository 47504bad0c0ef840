import type { App } from '../../src/app/app.ts';
import { type Call, type Options, sub } from '../../src/app/command.ts';
import { undoButton } from '../../src/app/words/post.ts';
import { change } from '../../src/record/change.ts';
import { look } from '../../src/record/trips.ts';
import { Refusal } from '../../src/say/refusal.ts';
import type { Reply } from '../../src/say/reply.ts';
import { dayMonth } from '../../src/time/format.ts';
import { addLocalDays, daysBetween, type LocalDay, localDay } from '../../src/time/zone.ts';
import { sayRefusal } from '../../src/timetable/gtfs/refusal.ts';
import type { Shuttle } from '../../src/trip/kinds/shuttle.ts';
import type { TripState } from '../../src/trip/state.ts';
import { SHUTTLE, shuttleNameOption } from './name.ts';
import { pickedFrom } from './picked.ts';
import { suggestFeedDirections, suggestFeedRoutes, suggestFeedStops } from './suggest.ts';
import { departureLines } from './words.ts';

const options = {
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
  name: shuttleNameOption,
} as const satisfies Options;

declare module '../../src/say/press.ts' {
  interface Paths {
    'shuttle pick': typeof options;
  }
}

/** Takes them into the trip; the feed itself isn't kept. */
export const pick = sub({
  description: 'Your stop, route and direction out of the feed read',
  access: 'post',
  counts: ['file', 'files'],
  options,
  async run(call, args, app) {
    const { row, state } = await look(app, call, 'act');
    const feed = app.feeds.of(row.id);
    if (feed === undefined) {
      throw new Refusal('no-feed', [
        'No feed is waiting to be picked from.',
        '/shuttle load takes the zip file.',
      ]);
    }
    const span = daysTaken(state, call.atMs);
    const picked = pickedFrom(feed.listing, args);
    const taken = await app.reading.extractTimetable(feed.bytes, { ...picked, ...span });
    if (!taken.ok) {
      const another = 'Nothing was changed. Another stop, route or direction may be picked.';
      throw new Refusal('feed-unusable', [sayRefusal(taken.refusal), another]);
    }
    const { timetable, notes } = taken.value;
    const reply = await keepShuttle(app, call, { name: args.name ?? SHUTTLE, timetable });
    const until = `Taken up to ${dayMonth(span.to)} ${span.to.year}; for later days load it again.`;
    return { ...reply, lines: [...reply.lines, ...notes, until] };
  },
});

/** Days around today that are taken out of a feed. */
const DAYS_BACK = 1;
const DAYS_ON = 40;

/** Around today, or the first day of the trip where that is set. */
function daysTaken(state: TripState, nowMs: number): { from: LocalDay; to: LocalDay } {
  const today = localDay(state.zone, nowMs);
  const [year, month, day] = (state.settings.firstDay ?? '').split('-').map(Number);
  const first = year && month && day ? { year, month, day } : today;
  const start = daysBetween(today, first) > 0 ? first : today;
  return { from: addLocalDays(today, -DAYS_BACK), to: addLocalDays(start, DAYS_ON) };
}

/** Keeps a timetable that was picked out of a feed. */
function keepShuttle(app: App, call: Call, shuttle: Shuttle): Promise<Reply> {
  return change(app, call, {
    decide: () => [{ kind: 'shuttle.set', data: shuttle }],
    answer: async ({ after, events }) => ({
      lines: [
        `The ${shuttle.name}: ${shuttle.timetable.label}.`,
        ...(await departureLines(app, after, call.atMs)),
      ],
      buttons: [undoButton(events[0]?.seq ?? 0)],
    }),
  });
}
