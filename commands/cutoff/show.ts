import { type Options, sub } from '../../src/app/command.ts';
import { forecastOf } from '../../src/app/forecast/run.ts';
import * as words from '../../src/app/words/forecast.ts';
import { look } from '../../src/record/trips.ts';
import { dayClock } from '../../src/time/format.ts';
import { outcomeOf } from '../../src/trip/cutoffs.ts';
import type { Cutoff } from '../../src/trip/kinds/cutoff.ts';
import { isOver } from '../../src/trip/mode.ts';
import type { TripState } from '../../src/trip/state.ts';
import { targetWords } from './words.ts';

const options = {} as const satisfies Options;

declare module '../../src/say/press.ts' {
  interface Paths {
    'cutoff show': typeof options;
  }
}

/** Those still open first, then what has been decided. */
export const show = sub({
  description: 'All cutoffs with their odds, the tightest first',
  access: 'look',
  options,
  async run(call, _args, app) {
    const { state } = await look(app, call);
    const forecast = await forecastOf(app, state, call.atMs);
    const over = isOver(state);
    const open = forecast === undefined || over ? [] : words.bounds(state, forecast);
    const decided = state.cutoffs.flatMap((c) => decidedWords(state, c, call.atMs));
    if (open.length + decided.length === 0) {
      return {
        lines:
          state.cutoffs.length === 0
            ? ['No cutoff is set.', '/cutoff add kind:dark, or /shuttle add for the last one home.']
            : [
                `${state.cutoffs.length} set: ${state.cutoffs.map((c) => c.label).join(', ')}.`,
                'Their odds need a topo: /topo load takes a CSV file.',
              ],
      };
    }
    return {
      lines: [
        ...open.map((b) => {
          const id = b.id === undefined ? '' : `${b.id}. `;
          return id + words.boundWords(state, b, b.binds, call.atMs);
        }),
        ...decided,
        ...(open.length === 0 ? [] : [words.CAUTION]),
      ],
    };
  },
});

/** `4. Supper Thu 18:00, pitch 8 done by then: missed, Thu 19:00.`; nothing while it is open. */
function decidedWords(state: TripState, cutoff: Cutoff, nowMs: number): string[] {
  const outcome = outcomeOf(state, cutoff, nowMs);
  if (outcome.is === 'open') return [];
  const at = (ms: number) => dayClock(state.zone, ms, nowMs);
  const when = outcome.reachedMs === undefined ? '' : `, ${at(outcome.reachedMs)}`;
  return [
    `${cutoff.id}. ${cutoff.label} ${at(cutoff.atMs)}, ${targetWords(cutoff.target)} by then: ${outcome.is}${when}.`,
  ];
}
