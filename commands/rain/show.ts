import { sub } from '../../src/app/command.ts';
import * as words from '../../src/app/words/forecast.ts';
import {
  stricterThan,
  WET_ROCK_ADVICE,
  WET_ROCK_CAUTION,
} from '../../src/forecast/wet-rock/advice.ts';
import { look } from '../../src/record/trips.ts';
import { holdWords, otherRockWords, ruleWords } from './words.ts';

const options = {} as const;

declare module '../../src/say/press.ts' {
  interface Paths {
    'rain show': typeof options;
  }
}

export const show = sub({
  description: 'The wet-rock hold, and what others advise',
  access: 'look',
  options,
  async run(call, _args, app) {
    const { state } = await look(app, call);
    const hours = state.settings.wetHours;
    const stricter = stricterThan(hours);
    return {
      lines: [
        holdWords(state, call.atMs),
        ruleWords(state),
        ...words.present([otherRockWords(state)]),
        ...WET_ROCK_ADVICE.map((a) => `${a.text} (${a.source})`),
        ...(stricter.length === 0
          ? []
          : [`${stricter.length} of these ask for more than your ${hours} h.`]),
        WET_ROCK_CAUTION,
      ],
    };
  },
});
