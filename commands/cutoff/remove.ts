import { type Options, type Suggest, sub } from '../../src/app/command.ts';
import { forecastBeside } from '../../src/app/forecast/run.ts';
import * as words from '../../src/app/words/forecast.ts';
import { undoButton } from '../../src/app/words/post.ts';
import { LIMITS } from '../../src/limits.ts';
import { change } from '../../src/record/change.ts';
import { lookBack } from '../../src/record/trips.ts';
import { Refusal } from '../../src/say/refusal.ts';
import { dayClock } from '../../src/time/format.ts';
import type { Cutoff } from '../../src/trip/kinds/cutoff.ts';

const suggestCutoffs: Suggest = async (call, typed, app) => {
  const { state } = await lookBack(app, call);
  const want = typed.toLowerCase();
  return state.cutoffs
    .filter((c) => c.label.toLowerCase().includes(want) || c.id.startsWith(want))
    .slice(0, 25)
    .map((c) => ({ name: c.label, value: c.id }));
};

const options = {
  which: {
    type: 'string',
    description: 'Its number or what it is called',
    required: true,
    maxLength: LIMITS.nameLength,
    suggest: suggestCutoffs,
  },
} as const satisfies Options;

declare module '../../src/say/press.ts' {
  interface Paths {
    'cutoff remove': typeof options;
  }
}

export const remove = sub({
  description: 'Take a cutoff away',
  access: 'post',
  options,
  run(call, { which }, app) {
    let found: Cutoff | undefined;
    return change(app, call, {
      decide({ state }) {
        const want = which.trim().toLowerCase();
        found = state.cutoffs.find((c) => c.id === want || c.label.toLowerCase() === want);
        if (found === undefined) {
          const names = state.cutoffs.map((c) => `${c.id} ${c.label}`).join(', ');
          throw new Refusal('no-such-cutoff', [
            `There is no cutoff ${which}.`,
            names === '' ? 'None is set: /cutoff add.' : `There is: ${names}.`,
          ]);
        }
        return [{ kind: 'cutoff.removed', data: { id: found.id } }];
      },
      async answer({ after, events }) {
        const forecast = await forecastBeside(app, after, call.atMs);
        const at = dayClock(after.zone, found?.atMs ?? 0, call.atMs);
        return {
          lines: words.present([
            `Cutoff removed: ${found?.label} ${at}. ${after.cutoffs.length || 'None'} left.`,
            forecast && words.headline(after, forecast, call.atMs),
          ]),
          buttons: [undoButton(events[0]?.seq ?? 0)],
        };
      },
    });
  },
});
