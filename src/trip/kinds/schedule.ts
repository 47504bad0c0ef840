import { z } from 'zod';
import { LIMITS } from '../../limits.ts';
import { instant } from './instant.ts';
import type { Kind } from './kind.ts';

const checkpoint = z.strictObject({
  pitch: z.int().min(1).max(LIMITS.pitches),
  plannedMs: instant,
  /** Latest time to stand there and still meet every cutoff; left out where nothing binds. */
  latestMs: instant.optional(),
});

/** A frozen checkpoint schedule. An older one stays in the record. */
export const scheduleData = z.strictObject({
  checkpoints: z.array(checkpoint).min(1).max(LIMITS.pitches),
  trailheadMs: instant.optional(),
  confidence: z.number().min(0.5).max(0.99),
});

/** A schedule as it stands in the state. Times are epoch milliseconds. */
export interface Schedule extends z.infer<typeof scheduleData> {
  /** When it was set, and its number in the log. */
  setAtMs: number;
  seq: number;
}

/** The schedule that the party holds itself to. */
export const scheduleKinds: {
  'schedule.set': Kind<z.infer<typeof scheduleData>>;
} = {
  'schedule.set': {
    order: 'told',
    alive: false,
    strike: 'may',
    private: false,
    vital: false,
    data: scheduleData,
    fold(state, event) {
      state.schedule = { ...event.data, setAtMs: event.atMs, seq: event.seq };
    },
    say: (data) => `schedule set for ${data.checkpoints.length} checkpoints`,
  },
};
