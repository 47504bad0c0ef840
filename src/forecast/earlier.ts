import { foldedName } from '../trip/people.ts';
import type { TripState } from '../trip/state.ts';
import type { ForecastClimber, ForecastInput } from './model.ts';

/** The earlier trip's pace for the climbers of this one; people are known by their names. */
export function earlierFor(
  { takenPace }: Pick<TripState, 'takenPace'>,
  party: readonly ForecastClimber[],
): Pick<ForecastInput, 'earlier'> {
  if (takenPace === undefined) return {};
  const { party: pace, aid, haul, changeover, leaders } = takenPace;
  const byName = new Map(leaders.map(({ name, ...own }) => [foldedName(name), own]));
  return {
    earlier: {
      ...(takenPace.class === undefined ? {} : { class: takenPace.class }),
      party: pace,
      aid,
      haul,
      changeover,
      leaders: party.map(({ name }) => byName.get(foldedName(name))),
    },
  };
}
