import { sub } from '../../src/app/command.ts';
import { anewLines } from '../../src/app/words/plan.ts';
import { undoButton } from '../../src/app/words/post.ts';
import { change } from '../../src/record/change.ts';
import { Refusal } from '../../src/say/refusal.ts';
import { basics, nameOption } from './basics.ts';
import { placeOf } from './open.ts';
import { settingsOf, settingsOptions } from './settings.ts';
import { settingsWords } from './settings-words.ts';

const options = { name: nameOption, ...basics, ...settingsOptions } as const;

declare module '../../src/say/press.ts' {
  interface Paths {
    'trip edit': typeof options;
  }
}

export const edit = sub({
  description: 'Change what the trip was opened with, the ropes and the day',
  access: 'post',
  options,
  run: (call, args, app) =>
    change(app, call, {
      decide({ state }) {
        const settings = given(settingsOf(state, call, args));
        const place = placeOf(args);
        const data = {
          ...given({
            name: args.name?.trim(),
            units: args.units,
            confidence: args.confidence === undefined ? undefined : args.confidence / 100,
            emergencyNumber: args.emergency,
          }),
          ...(Object.keys(place).length === 0 ? {} : { place }),
          ...(Object.keys(settings).length === 0 ? {} : { settings }),
        };
        if (Object.keys(data).length === 0) {
          throw new Refusal('nothing-to-change', [
            'Nothing to change: name what, like ropes:"lead 60" or emergency:112.',
            '/trip show lists what is set.',
          ]);
        }
        return [{ kind: 'trip.edited', data }];
      },
      answer({ before, after, events }) {
        const was = settingsWords(before);
        const changed = settingsWords(after).filter((line) => !was.includes(line));
        return {
          lines: ['Set.', ...changed, ...anewLines(before, after, call.atMs)],
          buttons: [undoButton(events[0]?.seq ?? 0)],
        };
      },
    }),
});

/** The fields that were typed. */
function given<T extends object>(fields: T): { [K in keyof T]?: Exclude<T[K], undefined> } {
  const typed = Object.entries(fields).filter(([, value]) => value !== undefined);
  return Object.fromEntries(typed) as { [K in keyof T]?: Exclude<T[K], undefined> };
}
