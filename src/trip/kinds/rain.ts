import { type Kind, type NoData, noData } from './kind.ts';

/** Rain on the rock; the wet-rock hold counts from its end. */
export const rainKinds: {
  'rain.started': Kind<NoData>;
  'rain.stopped': Kind<NoData>;
} = {
  'rain.started': {
    order: 'happened',
    alive: false,
    strike: 'may',
    private: false,
    vital: false,
    data: noData,
    fold(state, event) {
      const last = state.rains.at(-1);
      if (last !== undefined && last.toMs === undefined) {
        state.clashes.push({ what: 'rain-twice', seq: event.seq });
        return;
      }
      state.rains.push({ fromMs: event.atMs });
    },
    say: () => 'rain began',
  },
  'rain.stopped': {
    order: 'happened',
    alive: false,
    strike: 'may',
    private: false,
    vital: false,
    data: noData,
    fold(state, event) {
      const last = state.rains.at(-1);
      if (last === undefined || last.toMs !== undefined) {
        state.clashes.push({ what: 'not-raining', seq: event.seq });
        return;
      }
      last.toMs = event.atMs;
    },
    say: () => 'rain ended',
  },
};
