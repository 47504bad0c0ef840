import { z } from 'zod';
import { kind } from './kind.ts';

const nothing = z.strictObject({}) as never;

/** Rain on the rock; the wet-rock hold counts from its end. */
export const rainKinds = {
  'rain.started': kind<Record<string, never>>({
    order: 'happened',
    data: nothing,
    fold(state, event) {
      const last = state.rains.at(-1);
      if (last !== undefined && last.toMs === undefined) {
        state.clashes.push({ what: 'rain-twice', seq: event.seq });
        return;
      }
      state.rains.push({ fromMs: event.atMs });
    },
    say: () => 'rain began',
  }),
  'rain.stopped': kind<Record<string, never>>({
    order: 'happened',
    data: nothing,
    fold(state, event) {
      const last = state.rains.at(-1);
      if (last === undefined || last.toMs !== undefined) {
        state.clashes.push({ what: 'not-raining', seq: event.seq });
        return;
      }
      last.toMs = event.atMs;
    },
    say: () => 'rain ended',
  }),
};
