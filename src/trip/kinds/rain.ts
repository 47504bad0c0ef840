import { z } from 'zod';
import { LIMITS } from '../../limits.ts';
import type { Author } from '../fact.ts';
import { type Kind, type NoData, noData } from './kind.ts';

const dryData = z.strictObject({ said: z.string().trim().min(1).max(LIMITS.noteLength) });

/** Somebody said that the rock is dry, and who that was: the hold of the rain before is over for the party. */
export interface SaidDry {
  atMs: number;
  said: string;
  by: Author;
}

/** Rain on the rock; the wet-rock hold counts from its end. */
export const rainKinds: {
  'rain.started': Kind<NoData>;
  'rain.stopped': Kind<NoData>;
  'rain.dry': Kind<z.infer<typeof dryData>>;
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
  'rain.dry': {
    order: 'happened',
    alive: false,
    strike: 'may',
    private: false,
    vital: false,
    data: dryData,
    fold(state, { atMs, by, data }) {
      state.saidDry.push({ atMs, said: data.said, by });
    },
    say: (data) => `the rock was said to be dry: “${data.said}”`,
  },
};
