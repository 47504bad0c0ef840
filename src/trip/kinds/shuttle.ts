import { z } from 'zod';
import { LIMITS } from '../../limits.ts';
import { timetableSchema, upcastTimetable } from '../timetable.ts';
import { type Kind, type NoData, noData } from './kind.ts';

/** The shuttle from the trailhead: what it is called, and its timetable. */
export const shuttleData = z.strictObject({
  name: z.string().trim().min(1).max(LIMITS.nameLength),
  timetable: timetableSchema,
});

/** The shuttle of a trip. */
export type Shuttle = z.infer<typeof shuttleData>;

/** The shuttle that takes the party home. */
export const shuttleKinds: {
  'shuttle.set': Kind<Shuttle>;
  'shuttle.removed': Kind<NoData>;
} = {
  'shuttle.set': {
    order: 'told',
    alive: false,
    strike: 'may',
    private: false,
    vital: false,
    data: shuttleData,
    upcast(data) {
      const old = data as { timetable?: unknown } | null;
      return old?.timetable === undefined
        ? data
        : { ...old, timetable: upcastTimetable(old.timetable) };
    },
    fold(state, event) {
      state.shuttle = event.data;
    },
    say: (data) => `timetable of the ${data.name}`,
  },
  'shuttle.removed': {
    order: 'told',
    alive: false,
    strike: 'may',
    private: false,
    vital: false,
    data: noData,
    fold(state) {
      delete state.shuttle;
    },
    say: () => 'timetable removed',
  },
};
