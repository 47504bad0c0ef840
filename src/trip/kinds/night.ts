import { z } from 'zod';
import { LIMITS } from '../../limits.ts';
import { instant } from './instant.ts';
import { type Kind, type NoData, noData } from './kind.ts';

const pitch = z.int().min(0).max(LIMITS.pitches);

/** A night: after which pitch (0 is the ground), since when, and until when they mean to rest. */
export interface Night {
  pitch: number;
  sinceMs: number;
  untilMs?: number;
  leftMs?: number;
}

const settled = z.strictObject({ pitch, untilMs: instant.optional() });

/** Nights planned, begun and ended. */
export const nightKinds: {
  'bivy.planned': Kind<{ pitch: number }>;
  'bivy.unplanned': Kind<{ pitch: number }>;
  'bivy.settled': Kind<z.infer<typeof settled>>;
  'bivy.left': Kind<NoData>;
} = {
  'bivy.planned': {
    order: 'told',
    alive: false,
    strike: 'may',
    private: false,
    vital: false,
    data: z.strictObject({ pitch }),
    fold(state, event) {
      const others = state.bivyPlan.filter((p) => p !== event.data.pitch);
      state.bivyPlan = [...others, event.data.pitch].sort((a, b) => a - b);
    },
    say: (data) => `night planned after pitch ${data.pitch}`,
  },
  'bivy.unplanned': {
    order: 'told',
    alive: false,
    strike: 'may',
    private: false,
    vital: false,
    data: z.strictObject({ pitch }),
    fold(state, event) {
      state.bivyPlan = state.bivyPlan.filter((p) => p !== event.data.pitch);
    },
    say: (data) => `no night planned after pitch ${data.pitch}`,
  },
  'bivy.settled': {
    order: 'happened',
    alive: true,
    strike: 'may',
    private: false,
    vital: false,
    data: settled,
    fold(state, event) {
      const last = state.nights.at(-1);
      if (last !== undefined && last.leftMs === undefined) {
        state.clashes.push({ what: 'settled-twice', seq: event.seq });
        return;
      }
      const { pitch: after, untilMs } = event.data;
      state.nights.push({
        pitch: after,
        sinceMs: event.atMs,
        ...(untilMs === undefined ? {} : { untilMs }),
      });
    },
    say: (data) =>
      data.pitch === 0
        ? 'settled on the ground'
        : `settled for the night after pitch ${data.pitch}`,
  },
  'bivy.left': {
    order: 'happened',
    alive: true,
    strike: 'may',
    private: false,
    vital: false,
    data: noData,
    fold(state, event) {
      const last = state.nights.at(-1);
      if (last === undefined || last.leftMs !== undefined) {
        state.clashes.push({ what: 'not-settled', seq: event.seq });
        return;
      }
      last.leftMs = event.atMs;
    },
    say: () => 'up and climbing on',
  },
};
