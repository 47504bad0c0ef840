import { z } from 'zod';
import { LIMITS } from '../../limits.ts';
import type { Kind } from './kind.ts';

/** What is believed of one effect on times: a logarithm, as mean and standard deviation. */
const belief = z.strictObject({
  mean: z.number().min(-3).max(3),
  sd: z.number().min(0).max(3),
});

/** Median and spread of an effect, as a logarithm. */
export type Belief = z.infer<typeof belief>;

const taken = z.strictObject({
  /** The trip it was learnt on: what it was called, and how many stretches were told there. */
  from: z.string().min(1).max(LIMITS.nameLength),
  stages: z.int().min(1).max(10_000),
  /** What that party said of itself. */
  class: z.enum(['first', 'average', 'efficient']).optional(),
  party: belief,
  aid: belief,
  haul: belief,
  changeover: belief,
  /** By name, because a person's id belongs to one trip. */
  leaders: z
    .array(
      z.strictObject({ name: z.string().min(1).max(LIMITS.nameLength), free: belief, aid: belief }),
    )
    .max(LIMITS.people),
});

/** The pace that was learnt on an earlier trip, times the figures of the stages. */
export type TakenPace = z.infer<typeof taken>;

/** What is known of the party's pace from before the trip. */
export const paceKinds: { 'pace.taken': Kind<TakenPace> } = {
  'pace.taken': {
    order: 'told',
    alive: false,
    strike: 'may',
    private: true,
    vital: false,
    data: taken,
    fold(state, { data }) {
      state.takenPace = data;
    },
    say: ({ from }) => `pace taken from ${from}`,
  },
};
