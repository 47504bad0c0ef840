import { days, route, trip } from '../forecast/fixture.ts';
import { calibrate, climbs, type Misfit } from '../forecast/reference/climb.ts';

/** How climbs are drawn, and after how many of twelve pitches they are forecast. */
const KINDS: readonly (readonly [name: string, misfit: Misfit, after: readonly number[]])[] = [
  ['from the model', {}, [0, 2, 5, 9]],
  ['noise doubled', { noise: 2 }, [0, 4]],
  ['a third slower from half way', { jump: 1.33 }, [0, 4]],
];

/** Climbs drawn by the reference's own code from the model, and from two that are not it: a line for each moment. */
export function* synthetic(count: number): Generator<string> {
  const input = trip({ pitches: route(12), days: days(20), ascents: 300 });
  for (const [name, misfit, after] of KINDS) {
    const all = climbs(input, count, 4711, misfit);
    for (const done of after) {
      const { held, below, above, medianErrorMin } = calibrate(all, done, 'done');
      const [h, b, a] = [held, below, above].map((share) => share.toFixed(3));
      yield `${count} climbs ${name}, after ${done}: held ${h}, sooner ${b}, later ${a}; median off by ${Math.round(medianErrorMin)} min`;
    }
  }
}
