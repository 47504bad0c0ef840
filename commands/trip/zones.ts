import type { Suggest } from '../../src/app/command.ts';
import { zonesLike } from '../../src/time/find-zone.ts';

/** Zones of the tz database that may be meant by what was typed, the likeliest first. */
export const suggestZones: Suggest = async (_call, typed) =>
  zonesLike(typed)
    .slice(0, 25)
    .map((zone) => ({ name: zone, value: zone }));
