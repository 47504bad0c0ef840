import { type Options, sub } from '../../src/app/command.ts';
import { forecastBeside } from '../../src/app/forecast/run.ts';
import { toldAtOption } from '../../src/app/options.ts';
import { early, toldTime } from '../../src/app/when.ts';
import * as words from '../../src/app/words/forecast.ts';
import { changeTimeButton, undoButton } from '../../src/app/words/post.ts';
import { change } from '../../src/record/change.ts';
import { Refusal } from '../../src/say/refusal.ts';
import { dayClock } from '../../src/time/format.ts';

const options = { at: toldAtOption } as const satisfies Options;

declare module '../../src/say/press.ts' {
  interface Paths {
    'bivy leave': typeof options;
  }
}

export const leave = sub({
  description: 'The night is over; climbing on',
  access: 'post',
  options,
  run(call, { at }, app) {
    return change(app, call, {
      decide({ state }) {
        const told = toldTime(state, call, at);
        const night = state.nights.at(-1);
        if (night !== undefined && night.leftMs === undefined && told.atMs < night.sinceMs) {
          throw new Refusal(
            'bad-order',
            early(state, 'You settled', night.sinceMs, "you can't have left", told.atMs),
          );
        }
        return [{ kind: 'bivy.left', data: {}, ...told }];
      },
      async answer({ after, events }) {
        const forecast = await forecastBeside(app, after, call.atMs);
        const seq = events[0]?.seq ?? 0;
        const night = after.nights.at(-1);
        const left = night?.leftMs ?? call.atMs;
        return {
          lines: words.present([
            `${night?.pitch === 0 ? 'Up' : 'Climbing on'} at ${dayClock(after.zone, left, call.atMs)}.`,
            forecast && words.headline(after, forecast, call.atMs),
          ]),
          buttons: [undoButton(seq), changeTimeButton(seq)],
        };
      },
    });
  },
});
