import { z } from 'zod';
import { LIMITS } from '../../limits.ts';
import { timetableSchema } from '../timetable.ts';
import { kind, type NoData, noData } from './kind.ts';

/** The shuttle from the trailhead: what it is called, and its timetable. */
export const shuttleData = z.strictObject({
  name: z.string().trim().min(1).max(LIMITS.nameLength),
  timetable: timetableSchema,
});

export type Shuttle = z.infer<typeof shuttleData>;

export const shuttleKinds = {
  'shuttle.set': kind<Shuttle>({
    order: 'told',
    data: shuttleData,
    fold(state, event) {
      state.shuttle = event.data;
    },
    say: (data) => `timetable of the ${data.name}`,
  }),
  'shuttle.removed': kind<NoData>({
    order: 'told',
    data: noData,
    fold(state) {
      delete state.shuttle;
    },
    say: () => 'timetable removed',
  }),
};
