import { eraseDay, erasesAtMs } from '../../src/alarm/keeping.ts';
import { sub } from '../../src/app/command.ts';
import { change } from '../../src/record/change.ts';
import { Refusal } from '../../src/say/refusal.ts';

const options = {
  days: {
    type: 'integer',
    description: 'Days after the last word until the record erases itself',
    min: 1,
    max: 3650,
    required: true,
  },
} as const;

declare module '../../src/say/press.ts' {
  interface Paths {
    'privacy keep': typeof options;
  }
}

/** A shorter life for one trip's record than the bot gives it. */
export const keep = sub({
  description: 'How long this trip is kept after its last word, in days',
  access: 'act',
  options,
  run: (call, { days }, app) =>
    change(app, call, {
      decide() {
        if (days <= app.keepDays)
          return [{ kind: 'trip.edited', data: { settings: { keepDays: days } } }];
        throw new Refusal('out-of-range', [
          `This bot keeps no record for longer than ${app.keepDays} days.`,
          'To keep a copy of your own: /log export.',
        ]);
      },
      answer({ after }) {
        const atMs = erasesAtMs(after, app.keepDays);
        return {
          lines: [
            `This record erases itself ${days} days after its last word, never while somebody is out or an alarm stands.`,
            ...(atMs === undefined ? [] : [`As it stands, on ${eraseDay(after, atMs)}.`]),
          ],
        };
      },
    }),
});
