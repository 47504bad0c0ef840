import type { App } from '../../src/app/app.ts';
import type { Call } from '../../src/app/command.ts';
import { forecastBeside } from '../../src/app/forecast/run.ts';
import { early, toldTime } from '../../src/app/when.ts';
import * as words from '../../src/app/words/forecast.ts';
import { changeTimeButton, undoButton } from '../../src/app/words/post.ts';
import { WET_ROCK_CAUTION } from '../../src/forecast/wet-rock/advice.ts';
import { change } from '../../src/record/change.ts';
import { Refusal } from '../../src/say/refusal.ts';
import type { Reply } from '../../src/say/reply.ts';

import { holdWords, otherRockWords } from './words.ts';
/** Rain began or ended; the hold counts from its end. */
export function tellRain(
  app: App,
  call: Call,
  kind: 'rain.started' | 'rain.stopped',
  at: string | undefined,
): Promise<Reply> {
  return change(app, call, {
    decide({ state }) {
      const told = toldTime(state, call, at);
      const rain = state.rains.at(-1);
      if (kind === 'rain.stopped' && rain?.toMs === undefined && told.atMs < (rain?.fromMs ?? 0)) {
        throw new Refusal(
          'bad-order',
          early(state, 'The rain began', rain?.fromMs ?? 0, "it can't have ended", told.atMs),
        );
      }
      return [{ kind, data: {}, ...told }];
    },
    async answer({ after, events }) {
      const forecast = await forecastBeside(app, after, call.atMs);
      const seq = events[0]?.seq ?? 0;
      return {
        lines: words.present([
          holdWords(after, call.atMs),
          forecast && words.headline(after, forecast, call.atMs),
          otherRockWords(after),
          WET_ROCK_CAUTION,
        ]),
        buttons: [undoButton(seq), changeTimeButton(seq)],
      };
    },
  });
}
