import { z } from 'zod';
import type { Kind } from './kind.ts';

/** Points of the way down from the top, in their order. */
export const DESCENT_POINTS = ['off-top', 'foot', 'stop'] as const;
const point = z.enum(DESCENT_POINTS);
/** A point of the way down that can be told. */
export type DescentPoint = z.infer<typeof point>;

/** As it is said of the party. */
export const POINT_WORDS: Record<DescentPoint, string> = {
  'off-top': 'left the top',
  foot: 'at the foot of the descent',
  stop: 'at the shuttle stop',
};

/** The way down, point by point. */
export const descentKinds: { 'descent.reached': Kind<{ point: DescentPoint }> } = {
  'descent.reached': {
    order: 'happened',
    alive: true,
    strike: 'may',
    private: false,
    vital: true,
    data: z.strictObject({ point }),
    fold(state, { atMs, seq, data }) {
      state.descent.push({ point: data.point, atMs, seq });
    },
    say: (data) => POINT_WORDS[data.point],
  },
};
