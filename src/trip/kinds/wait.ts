import { z } from 'zod';
import { LIMITS } from '../../limits.ts';
import { instant } from './instant.ts';
import { type Kind, type NoData, noData } from './kind.ts';

const why = z.enum(['weather', 'other']);
const begun = z.strictObject({
  why,
  words: z.string().trim().min(1).max(LIMITS.noteLength).optional(),
  untilMs: instant.optional(),
});

/** A pause that goes on: for what, since when, and until when it is meant to last. */
export interface Wait extends z.infer<typeof begun> {
  sinceMs: number;
  /** When it was told to be over. */
  endedMs?: number;
}

/** A wait that goes on, and its end. */
export const waitKinds: {
  'wait.began': Kind<z.infer<typeof begun>>;
  'wait.ended': Kind<NoData>;
} = {
  'wait.began': {
    order: 'happened',
    alive: true,
    strike: 'may',
    private: false,
    vital: false,
    data: begun,
    fold(state, { atMs, data }) {
      const last = state.waits.at(-1);
      // A new reason or a new end takes the place of the wait before.
      if (last !== undefined && last.endedMs === undefined) last.endedMs = atMs;
      state.waits.push({ ...data, sinceMs: atMs });
    },
    say: (data) =>
      `waiting${data.why === 'weather' ? ' for the weather' : ''}${
        data.words === undefined ? '' : `: “${data.words}”`
      }`,
  },
  'wait.ended': {
    order: 'happened',
    alive: true,
    strike: 'may',
    private: false,
    vital: false,
    data: noData,
    fold(state, { atMs, seq }) {
      const last = state.waits.at(-1);
      if (last === undefined || last.endedMs !== undefined) {
        state.clashes.push({ what: 'not-waiting', seq });
        return;
      }
      last.endedMs = atMs;
    },
    say: () => 'the wait is over',
  },
};
