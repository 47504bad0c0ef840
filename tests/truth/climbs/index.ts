import { AID } from './aid.ts';
import { FREE } from './free.ts';
import { IN_A_DAY } from './in-a-day.ts';
import { ONE_PARTY } from './one-party.ts';
import { TOLD } from './told.ts';
import type { PublishedClimb } from './type.ts';

/** Every published climb that is scored. */
export const SCORED: readonly PublishedClimb[] = [...FREE, ...ONE_PARTY, ...AID, ...IN_A_DAY];

/** Those that are only printed. */
export const UNSCORED: readonly PublishedClimb[] = TOLD;
