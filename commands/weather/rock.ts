import { sub } from '../../src/app/command.ts';
import { noteOption } from '../../src/app/options.ts';
import { undoButton } from '../../src/app/words/post.ts';
import {
  stricterThan,
  WET_ROCK_CAUTION,
  WET_ROCK_SIGNS,
} from '../../src/forecast/wet-rock/advice.ts';
import { change } from '../../src/record/change.ts';
import { ROCK_FACES } from '../../src/trip/settings.ts';
import { ruleWords } from '../rain/words.ts';

const options = {
  hours: {
    type: 'integer',
    description:
      'Hours without climbing after rain: the land manager’s rule first; 0 for rock that needs none',
    required: true,
    min: 0,
    max: 168,
  },
  source: { ...noteOption('Who says so: the land manager, a guidebook, a club'), required: true },
  faces: {
    type: 'string',
    description: 'Which way the wall faces: shade dries later',
    choices: ROCK_FACES.map((value) => ({ name: value, value })),
  },
} as const;

declare module '../../src/say/press.ts' {
  interface Paths {
    'weather rock': typeof options;
  }
}

/** The rule of the rock is the place's: set once, with who says so. */
export const rock = sub({
  description: 'How long this rock is left alone after rain, and who says so',
  access: 'post',
  options,
  run: (call, { hours, source, faces }, app) =>
    change(app, call, {
      decide: () => [
        {
          kind: 'trip.edited',
          data: {
            settings: {
              wetHours: hours,
              wetSource: source.trim(),
              ...(faces === undefined ? {} : { faces }),
            },
          },
        },
      ],
      answer({ after, events }) {
        const stricter = stricterThan(hours).filter((a) => a.standing !== 'practice');
        return {
          lines: [
            ruleWords(after),
            ...(hours === 0 || stricter.length === 0
              ? []
              : [`${stricter.length} published readings ask for longer: /rain show`]),
            WET_ROCK_SIGNS.text,
            WET_ROCK_CAUTION,
          ],
          buttons: [undoButton(events[0]?.seq ?? 0)],
        };
      },
    }),
});
