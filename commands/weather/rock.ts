import { sub } from '../../src/app/command.ts';
import { noteOption } from '../../src/app/options.ts';
import { undoButton } from '../../src/app/words/post.ts';
import { daysOf } from '../../src/forecast/trip-days.ts';
import {
  stricterThan,
  WET_ROCK_CAUTION,
  WET_ROCK_SIGNS,
} from '../../src/forecast/wet-rock/advice.ts';
import { change } from '../../src/record/change.ts';
import { Refusal } from '../../src/say/refusal.ts';
import { quote } from '../../src/time/duration.ts';
import { MONTHS } from '../../src/time/format.ts';
import { localDay } from '../../src/time/zone.ts';
import { asksFace, hoursBy, readRockRule } from '../../src/trip/rock-rule.ts';
import { ROCK_FACES, type RockFace } from '../../src/trip/settings.ts';
import type { TripState } from '../../src/trip/state.ts';
import { ruleWords } from '../rain/words.ts';

const options = {
  hours: {
    type: 'string',
    description:
      'Hours without climbing after rain: 36; "south 24, north 48"; "Nov–Mar 72, else 36"; 0: none',
    required: true,
    maxLength: 100,
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

/**
 * The hours that a rule has for this wall on the first day of the trip; the rule itself is kept where they depend on either.
 *
 * @throws Refusal where it can't be read, or has no hours for this wall
 */
function ruleFor(state: TripState, typed: string, face: RockFace | undefined, nowMs: number) {
  const rule = readRockRule(typed);
  const like = 'Like hours:36, hours:"south 24, north 48" or hours:"Nov–Mar 72, else 36".';
  if ('unread' in rule) {
    throw new Refusal('unreadable-value', [
      `hours: “${quote(rule.unread)}” is no hours, 0 to 168, and no face or season with them.`,
      like,
    ]);
  }
  if (face === undefined && asksFace(rule)) {
    throw new Refusal('needs-value', [
      'The rule depends on which way the wall faces. Say it too: faces:north',
    ]);
  }
  const { month } = localDay(state.zone, daysOf(state, nowMs)[0]?.startMs ?? nowMs);
  const wetHours = hoursBy(rule, face, month);
  if (wetHours === undefined) {
    throw new Refusal('unreadable-value', [
      `The rule has no hours for ${face === undefined ? '' : `a wall that faces ${face} in `}${MONTHS[month - 1]}. Add what holds else: else 36`,
      like,
    ]);
  }
  const isPlain = rule.every((c) => c.faces === undefined && c.months === undefined);
  return { wetHours, wetRule: isPlain ? null : typed.trim() };
}

/** The rule of the rock is the place's: set once, with who says so. */
export const rock = sub({
  description: 'How long this rock is left alone after rain, and who says so',
  access: 'post',
  options,
  run: (call, { hours, source, faces }, app) =>
    change(app, call, {
      decide({ state }) {
        const face = faces ?? state.settings.faces;
        const { wetHours, wetRule } = ruleFor(state, hours, face, call.atMs);
        return [
          {
            kind: 'trip.edited',
            data: {
              settings: {
                ...{ wetHours, wetRule, wetSource: source.trim() },
                ...(faces === undefined ? {} : { faces }),
              },
            },
          },
        ];
      },
      answer({ after, events }) {
        const { wetHours } = after.settings;
        const stricter = stricterThan(wetHours).filter((a) => a.standing !== 'practice');
        return {
          lines: [
            ruleWords(after),
            ...(wetHours === 0 || stricter.length === 0
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
