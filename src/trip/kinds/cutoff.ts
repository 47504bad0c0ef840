import { z } from 'zod';
import { LIMITS } from '../../limits.ts';
import { instant } from './instant.ts';
import type { Kind } from './kind.ts';

const id = z.string().min(1).max(20);

/** What has to have happened by the cutoff. */
export const cutoffTarget = z.union([
  z.enum(['topout', 'down', 'trailhead']),
  z.strictObject({ pitch: z.int().min(1).max(LIMITS.pitches) }),
]);

/** A cutoff as it is recorded: `target` has to have happened by `atMs` (epoch milliseconds). */
export const cutoffData = z.strictObject({
  id,
  kind: z.enum(['shuttle', 'dark', 'permit', 'weather', 'own']),
  label: z.string().min(1).max(LIMITS.nameLength),
  target: cutoffTarget,
  atMs: instant,
});

/** A time that binds, and what has to have happened by then. */
export type Cutoff = z.infer<typeof cutoffData>;

/** Times that bind. Resolved to an instant when they are added, so that they don't move unseen. */
export const cutoffKinds: {
  'cutoff.added': Kind<Cutoff>;
  'cutoff.removed': Kind<{ id: string }>;
} = {
  'cutoff.added': {
    order: 'told',
    alive: false,
    strike: 'may',
    private: false,
    vital: false,
    data: cutoffData,
    fold(state, event) {
      state.cutoffs = [...state.cutoffs.filter((c) => c.id !== event.data.id), event.data];
    },
    say: (data) => `cutoff: ${data.label}`,
  },
  'cutoff.removed': {
    order: 'told',
    alive: false,
    strike: 'may',
    private: false,
    vital: false,
    data: z.strictObject({ id }),
    fold(state, event) {
      const before = state.cutoffs.length;
      state.cutoffs = state.cutoffs.filter((c) => c.id !== event.data.id);
      if (state.cutoffs.length === before) {
        state.clashes.push({ what: 'no-such-cutoff', seq: event.seq });
      }
    },
    say: (data) => `cutoff ${data.id} removed`,
  },
};
