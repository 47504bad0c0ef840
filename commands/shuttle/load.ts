import { type Options, sub } from '../../src/app/command.ts';
import { look } from '../../src/record/trips.ts';
import { Refusal } from '../../src/say/refusal.ts';
import type { Button } from '../../src/say/reply.ts';
import { GTFS_LIMITS } from '../../src/timetable/gtfs/limits.ts';
import { sayRefusal } from '../../src/timetable/gtfs/refusal.ts';

const options = {
  file: { type: 'file', description: 'The zip file', required: true },
} as const satisfies Options;

declare module '../../src/say/press.ts' {
  interface Paths {
    'shuttle load': typeof options;
  }
}

/** Routes left out that are named, each with its first bad row. */
const SKIPPED_SAID = 3;

const PICK: Button = {
  label: 'Pick your stop',
  tone: 'main',
  press: { path: 'shuttle pick', options: {} },
  ask: {
    title: 'Where you get on',
    fields: [
      { name: 'stop', label: 'Stop' },
      { name: 'route', label: 'Route' },
      { name: 'direction', label: 'Direction' },
    ],
  },
};

/** Reads a feed through and keeps it until stop, route and direction are picked. */
export const load = sub({
  description: 'Read a GTFS feed, then pick your stop from it',
  access: 'post',
  counts: ['file', 'files'],
  options,
  async run(call, { file }, app) {
    const { row } = await look(app, call, 'act');
    const bytes = await file.bytes(GTFS_LIMITS.zipBytes);
    const read = await app.reading.listFeed(bytes);
    if (!read.ok) {
      throw new Refusal('feed-unusable', [
        "That feed can't be used; nothing was changed.",
        sayRefusal(read.refusal),
      ]);
    }
    app.feeds.keep(row.id, { bytes, listing: read.value });
    const { stops, routes, covers, zone, skipped } = read.value;
    return {
      lines: [
        `Feed read: ${stops.length} stops, ${routes.length} routes, times in ${zone}${
          covers === undefined ? '' : `, ${covers.from} to ${covers.to}`
        }.`,
        ...skipped
          .slice(0, SKIPPED_SAID)
          .map(({ route, why }) => `Left out, ${route}: ${sayRefusal(why)}`),
        ...(skipped.length > SKIPPED_SAID
          ? [`${skipped.length - SKIPPED_SAID} more routes left out.`]
          : []),
        [
          'Now pick yours, the names come as you type: ',
          { code: '/shuttle pick stop: route: direction:' },
        ],
      ],
      buttons: [PICK],
    };
  },
});
