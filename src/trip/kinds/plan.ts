import { z } from 'zod';
import { LIMITS } from '../../limits.ts';
import { clockText } from '../settings.ts';
import type { Kind } from './kind.ts';

/** Days of a trip that can have a start of their own. */
export const PLAN_DAYS = 14;

const start = z.strictObject({
  day: z.int().min(1).max(PLAN_DAYS),
  start: z.union([clockText, z.literal('shuttle')]).optional(),
});

const chosen = z.strictObject({
  pitch: z.int().min(0).max(LIMITS.pitches),
  way: z.enum(['stay', 'on', 'fix', 'dark']),
});

/**
 * What the party chose where the plan no longer fits, at the stance after `pitch`: to stay as planned; to fix
 * the next pitch and come back to sleep; to climb on in the dark to the next night's place.
 */
export interface Chosen extends z.infer<typeof chosen> {
  atMs: number;
}

/** The days of the plan, and what is chosen where it no longer fits. */
export const planKinds: {
  'plan.start': Kind<z.infer<typeof start>>;
  'plan.chosen': Kind<z.infer<typeof chosen>>;
} = {
  'plan.start': {
    order: 'told',
    alive: false,
    strike: 'may',
    private: false,
    vital: false,
    data: start,
    fold(state, { data }) {
      if (data.start === undefined) state.starts.delete(data.day);
      else state.starts.set(data.day, data.start);
    },
    say: ({ day, start: from }) =>
      from === undefined
        ? `day ${day} starts as the others`
        : from === 'shuttle'
          ? `day ${day} starts with the first shuttle`
          : `day ${day} starts at ${from}`,
  },
  'plan.chosen': {
    order: 'told',
    alive: false,
    strike: 'may',
    private: false,
    vital: false,
    data: chosen,
    fold(state, { atMs, data }) {
      state.chosen = { ...data, atMs };
      // Who climbs on from a planned ledge doesn't mean to sleep there any more.
      if (data.way === 'on') state.bivyPlan = state.bivyPlan.filter((p) => p !== data.pitch);
    },
    say: ({ pitch, way }) =>
      ({
        on: `climbing on from pitch ${pitch}`,
        stay: `staying after pitch ${pitch}, as planned`,
        fix: `fixing pitch ${pitch + 1}, and back to sleep after ${pitch}`,
        dark: `on in the dark from pitch ${pitch}`,
      })[way],
  },
};
